use underboard::source::SourceFile;
fn main() {
    let dpi = std::env::var("DPI").ok().and_then(|s| s.parse().ok()).unwrap_or(110.0);
    for f in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&f).unwrap();
        let name = std::path::Path::new(&f).parent().unwrap().file_name().unwrap().to_string_lossy().to_string();
        let s = SourceFile::new(f, text);
        let (d, diags) = underboard::design(&s);
        println!("{}", underboard::diag::render_all(&diags, &s, false));
        if let Some(d) = d {
            let t = std::time::Instant::now();
            let scenes = underboard::draw::sheets::draw(&d, false);
            println!("{} scenes {:?}", scenes.len(), t.elapsed());
            std::fs::create_dir_all(format!("/tmp/pre/{name}")).unwrap();
            for (i, sc) in scenes.iter().enumerate() {
                let r = underboard::draw::overlap::check(sc);
                println!("{} {} {:?}", i + 1, sc.slug, r.metrics);
                for f in r.faults.iter().take(40) { println!("   {f}"); }
                let svg = underboard::export::svg::svg(sc);
                std::fs::write(format!("/tmp/pre/{name}/{:02}-{}.png", i + 1, sc.slug), underboard::export::png::png(&svg, dpi).unwrap()).unwrap();
            }
        }
    }
}
