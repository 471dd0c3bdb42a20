use underboard::source::SourceFile;
fn main() {
    for f in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&f).unwrap();
        let s = SourceFile::new(f, text);
        let (d, diags) = underboard::design(&s);
        println!("{}", underboard::diag::render_all(&diags, &s, false));
        if let Some(d) = d {
            for j in &d.rails.joints { println!("J {:?}", j.reason); }
            for (i, n) in d.circuit.nets() {
                println!("net {} {}: {}", i.0, n.name, n.pins.iter().map(|p| d.circuit.pin_name(*p)).collect::<Vec<_>>().join(" "));
            }
            for w in &d.wiring.wires {
                println!("{}  {} -> {}  {} [{}]", w.label(), d.wiring.end_name(&d.circuit, w.from), d.wiring.end_name(&d.circuit, w.to), w.length, d.circuit[w.net].name);
            }
            for f in &d.sizing.figures { println!("{} {} = {}  {:?}", f.part, f.name, f.value, f.inputs); }
        }
    }
}
