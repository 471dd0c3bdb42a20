//! The drawing, proved on the scenes themselves: nothing overlaps, no wire ends in the air, every
//! wire of the circuit is drawn, and what a sheet shows as joined is joined in the circuit.

use std::collections::{BTreeMap, BTreeSet};
use underboard::Design;
use underboard::draw::overlap;
use underboard::draw::scene::{Item, Role, Scene};
use underboard::draw::sheets;
use underboard::geom::Point;
use underboard::source::SourceFile;

fn design(name: &str, text: &str) -> Design {
    let source = SourceFile::new(name, text);
    let (design, diagnostics) = underboard::design(&source);
    let errors: Vec<_> =
        diagnostics.iter().filter(|d| d.severity == underboard::diag::Severity::Error).collect();
    assert!(errors.is_empty(), "{name}: {errors:#?}\n{text}");
    design.unwrap()
}

fn examples() -> Vec<(String, Design)> {
    let mut folders: Vec<_> =
        std::fs::read_dir("examples").unwrap().map(|e| e.unwrap().path().join("layout.toml")).collect();
    folders.sort();
    folders
        .into_iter()
        .filter(|p| p.exists())
        .map(|p| {
            let name = p.display().to_string();
            let text = std::fs::read_to_string(&p).unwrap();
            let design = design(&name, &text);
            (name, design)
        })
        .collect()
}

/// A layout of three turnouts with one drive, control and frog, on a page size.
fn pattern(drive: &str, control: &str, frog: &str, supply: &str, page: &str, dcc: bool) -> String {
    let train = if dcc { "dcc" } else { "dc" };
    format!(
        r#"format = 1
[layout]
name = "Pattern"
control = "{train}"
date = 2026-11-25
page = "{page}"
[defaults]
frog = "{frog}"
[turnout]
T1 = {{ kind = "left" }}
T2 = {{ kind = "right" }}
T3 = {{ kind = "wye", normal = "right" }}
[track]
lead = {{ from = "off the layout", to = "T1.toe" }}
road = {{ from = "T1.straight", to = "T2.toe" }}
a = {{ from = "T1.diverging", to = "T3.toe" }}
b = {{ from = "T2.straight", to = "buffer" }}
c = {{ from = "T2.diverging", to = "buffer" }}
d = {{ from = "T3.left", to = "buffer" }}
e = {{ from = "T3.right", to = "buffer" }}
[drive.d]
{drive}
[control.S1]
throws = "T1"
with = "{control}"
[control.S2]
throws = ["T2", "T3"]
with = "{control}"
{supply}
"#
    )
}

/// Every pairing that is wired, each with contacts and without, in the patterns the book has.
fn patterns() -> Vec<(String, Design)> {
    let solenoid = "kind = \"solenoid\"\ncoil = \"8 ohm\"\nenergy = \"0.2 J\"\ncurrent = \"1 A\"\ncontact-rating = \"5 A\"";
    let direct = format!("{solenoid}\nfired-from = \"supply\"");
    let motor = "kind = \"slow-motion\"\ncontact-rating = \"5 A\"";
    let servo = "kind = \"servo\"\ncontact-rating = \"5 A\"";
    let ac = "[supply.s]\nvoltage = \"16 V AC\"\ncurrent = \"5 A\"";
    let dc = "[supply.s]\nvoltage = \"24 V DC\"\ncurrent = \"10 A\"";
    let split = "[supply.s]\nkind = \"split dc\"\nvoltage = \"12 V\"\ncurrent = \"2 A\"";
    let mut cases = Vec::new();
    for control in ["momentary toggle", "push buttons", "studs and probe", "accessory decoder output"] {
        cases.push((solenoid.to_owned(), control, ac));
        cases.push((solenoid.to_owned(), control, dc));
        cases.push((direct.clone(), control, dc));
    }
    for control in ["maintained toggle", "accessory decoder output"] {
        cases.push((motor.to_owned(), control, ""));
        cases.push((servo.to_owned(), control, ""));
    }
    cases.push((motor.to_owned(), "maintained toggle", split));
    let mut made = Vec::new();
    for (drive, control, supply) in cases {
        for contacts in [0, 1] {
            for (frog, page) in [
                ("live", "A4"),
                ("isolated-with-wire", "A3"),
                ("insulated", "Letter"),
                ("isolated-with-wire", "Letter"),
            ] {
                let drive = format!("{drive}\ncontacts = {contacts}");
                let text = pattern(&drive, control, frog, supply, page, true);
                let name = format!(
                    "{control}, {frog}, {page}, {contacts} contacts, {}",
                    drive.lines().next().unwrap_or("")
                );
                made.push((name.clone(), design(&name, &text)));
            }
        }
    }
    // A discharge unit beside decoders.
    for page in ["A4", "Letter"] {
        let text = pattern(solenoid, "momentary toggle", "insulated", ac, page, true)
            .replace("\"T3\"]\nwith = \"momentary toggle\"", "\"T3\"]\nwith = \"accessory decoder output\"");
        made.push((format!("toggle and decoder, {page}"), design(page, &text)));
    }
    made
}

/// A ladder of so many roads, each with a button, the turnouts under the given control. What each road
/// needs is written out here: those before it straight, its own diverging.
fn ladder(roads: usize, control: &str, page: &str, diodes: &str) -> String {
    let turnouts = roads - 1;
    let mut text = format!(
        r#"format = 1
[layout]
name = "Routes"
control = "dcc"
date = 2026-11-25
page = "{page}"
[defaults]
frog = "insulated"
[ladder.L]
hand = "right"
roads = {roads}
with = "{control}"
[drive.d]
kind = "solenoid"
coil = "20 ohm"
energy = "0.05 J"
current = "0.3 A"
[supply.s]
voltage = "24 V AC"
current = "5 A"
[panel]
route-diodes = "{diodes}"
[track]
lead = {{ from = "off the layout", to = "L.toe" }}
"#
    );
    for road in 1..=roads {
        text += &format!("t{road} = {{ from = \"L.road-{road}\", to = \"buffer\" }}\n");
    }
    for road in 1..=roads {
        let before = (1..road.min(turnouts + 1)).map(|t| format!("\"L.{t}\" = \"straight\""));
        let own = (road <= turnouts).then(|| format!("\"L.{road}\" = \"diverging\""));
        let sets: Vec<String> = before.chain(own).collect();
        text += &format!("[route.road-{road}]\nsets = {{ {} }}\n", sets.join(", "));
    }
    text
}

fn routes() -> Vec<(String, Design)> {
    let mut made = Vec::new();
    for (roads, control, page, diodes) in [
        (4, "route buttons", "A4", "fewest"),
        (4, "momentary toggle", "A4", "fewest"),
        (4, "push buttons", "Letter", "every link"),
        (5, "studs and probe", "A3", "fewest"),
        (10, "route buttons", "A4", "fewest"),
        (9, "momentary toggle", "Letter", "fewest"),
    ] {
        let name = format!("{roads} roads, {control}, {page}, {diodes}");
        made.push((name.clone(), design(&name, &ladder(roads, control, page, diodes))));
    }
    made
}

/// A chain ladder of n roads worked by its buttons alone has n(n + 1)/2 − 1 links, n(n − 1)/2 − 1 of
/// them diodes (derived, no source; `electrics::matrix` tries every diode).
#[test]
fn a_ladder_has_the_links_and_diodes_that_it_needs() {
    use underboard::circuit::PartKind;
    for n in [3, 4, 5, 6, 8, 10] {
        let design = design("ladder", &ladder(n, "route buttons", "A4", "fewest"));
        let count = |kind: fn(PartKind) -> bool| design.circuit.parts().filter(|(_, p)| kind(p.kind)).count();
        let diodes = count(|k| matches!(k, PartKind::Diode { .. }));
        let wires = count(|k| matches!(k, PartKind::Link { .. }));
        assert_eq!((diodes + wires, diodes), (n * (n + 1) / 2 - 1, n * (n - 1) / 2 - 1), "{n} roads");
    }
}

fn all() -> Vec<(String, Design)> {
    let mut all = examples();
    all.extend(patterns());
    all.extend(routes());
    all
}

#[test]
fn nothing_overlaps_and_no_wire_ends_in_the_air() {
    let mut faults = Vec::new();
    for (name, design) in all() {
        // The draft's marks stand outside the frame: the examples are enough to prove them.
        let drafts = if name.starts_with("examples") { vec![false, true] } else { vec![false] };
        for draft in drafts {
            for scene in sheets::draw(&design, draft) {
                for fault in overlap::check(&scene).faults {
                    faults.push(format!("{name}: {}: {fault}", scene.slug));
                }
            }
        }
    }
    let total = faults.len();
    // One of each sort is enough to read.
    faults.sort_by_key(|f| f.split(": ").skip(1).take(2).collect::<String>());
    faults.dedup_by_key(|f| {
        let words: Vec<&str> = f.split(": ").collect();
        format!("{} {}", words[1], words[2].split(' ').next().unwrap_or(""))
    });
    assert!(total == 0, "{total} faults\n{}", faults.join("\n"));
}

/// Motors of two sorts in pairs, more than one sheet of margins holds; those far down the strip are too
/// weak, so that every kind of bar is drawn.
#[test]
fn the_margins_of_many_motors_are_all_on_their_sheets() {
    let mut text =
        "format = 1\n[layout]\nname = \"Many\"\ncontrol = \"dc\"\n[defaults]\nfrog = \"insulated\"\n"
            .to_owned();
    let motors = 44;
    for n in 1..=motors {
        let drive = if n % 2 == 0 { "strong" } else { "small" };
        text += &format!(
            "[turnout.T{n}]\nkind = \"left\"\ndrive = \"{drive}\"\n\
             [track.a{n}]\nfrom = \"buffer\"\nto = \"T{n}.toe\"\n\
             [track.b{n}]\nfrom = \"T{n}.straight\"\nto = \"buffer\"\n\
             [track.c{n}]\nfrom = \"T{n}.diverging\"\nto = \"buffer\"\n"
        );
        if n % 2 == 0 {
            let before = n - 1;
            text += &format!("[control.S{n}]\nthrows = [\"T{before}\", \"T{n}\"]\nwith = \"push buttons\"\n");
        }
    }
    text += "[drive.strong]\nkind = \"solenoid\"\n[drive.small]\nkind = \"solenoid\"\ncoil = \"8 ohm\"\n\
             energy = \"0.3 J\"\ncurrent = \"0.8 A\"\n";
    for page in ["A4", "A3", "Letter"] {
        let text = text.replace("control = \"dc\"\n", &format!("control = \"dc\"\npage = \"{page}\"\n"));
        let (design, _) = underboard::design(&SourceFile::new("many.toml", text));
        let scenes = sheets::draw(&design.unwrap(), true);
        let margins: Vec<&Scene> = scenes.iter().filter(|s| s.slug.starts_with("throw-margins")).collect();
        assert!(margins.len() > 1 || page == "A3", "{page}");
        let mut named = BTreeSet::new();
        for scene in margins {
            let faults = overlap::check(scene).faults;
            assert!(faults.is_empty(), "{page}: {}: {faults:?}", scene.slug);
            named.extend(scene.texts().map(|t| t.content.clone()));
        }
        for n in 1..=motors {
            assert!(named.contains(&format!("M{n}")), "{page}: no row for M{n}");
        }
    }
}

#[test]
fn every_wire_of_the_circuit_is_drawn_and_no_other() {
    for (name, design) in all() {
        let drawn: BTreeSet<String> = sheets::draw(&design, false)
            .iter()
            .flat_map(|s| s.items.clone())
            .filter_map(|item| match item {
                Item::Path(p) => match p.role {
                    Role::Wire { wire, .. } => wire,
                    _ => None,
                },
                _ => None,
            })
            .collect();
        let wired: BTreeSet<String> = design.wiring.wires.iter().map(|w| w.number.to_string()).collect();
        assert_eq!(drawn, wired, "{name}");
    }
}

/// Rebuilds what each sheet joins from geometry alone: segments, dots, pins. Every numbered wire
/// must end on the two pins or terminals that the wiring names, and pins that a sheet joins must be
/// of one net.
#[test]
fn the_drawing_read_back_is_the_circuit() {
    for (name, design) in all() {
        let mut ends: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for scene in sheets::draw(&design, false) {
            read_back(&name, &design, &scene, &mut ends);
        }
        for wire in &design.wiring.wires {
            let expected: BTreeSet<String> = [wire.from, wire.to]
                .map(|e| design.wiring.end_name(&design.circuit, e))
                .into_iter()
                .collect();
            let found = &ends[&wire.number.to_string()];
            // The ends of a wire are read over all the sheets that show it. A tap on a bus is read
            // as the bus.
            assert!(
                expected.is_subset(found),
                "{name}: wire {} ends on {found:?}, not {expected:?}",
                wire.number
            );
        }
    }
}

fn key(p: Point) -> (i64, i64) {
    ((p.x * 100.0).round() as i64, (p.y * 100.0).round() as i64)
}

fn on_segment(p: Point, a: Point, b: Point) -> bool {
    let (d, e) = (b - a, p - a);
    let along = d.dot(e);
    d.cross(e).abs() < 0.02 * d.length().max(1e-9) && along >= -0.01 && along <= d.dot(d) + 0.01
}

fn read_back(name: &str, design: &Design, scene: &Scene, ends: &mut BTreeMap<String, BTreeSet<String>>) {
    let pins: Vec<(Point, String, String)> = scene
        .items
        .iter()
        .filter_map(|i| match i {
            Item::Circle { centre, role: Role::Pin { name, net }, .. } => {
                Some((*centre, name.clone(), net.clone()))
            }
            _ => None,
        })
        .collect();
    let buses: Vec<(Vec<Point>, String)> = scene
        .items
        .iter()
        .filter_map(|i| match i {
            Item::Path(p) => match &p.role {
                Role::Wire { net, wire: None } => Some((p.points.clone(), net.clone())),
                _ => None,
            },
            _ => None,
        })
        .collect();
    for item in &scene.items {
        let Item::Path(path) = item else { continue };
        let Role::Wire { net, wire: Some(wire) } = &path.role else { continue };
        for end in [path.points[0], path.points[path.points.len() - 1]] {
            let mut met: BTreeSet<String> = BTreeSet::new();
            for (at, pin, pin_net) in &pins {
                if key(*at) == key(end) {
                    assert_eq!(pin_net, net, "{name}: {}: wire {wire} meets {pin}", scene.slug);
                    met.insert(pin.clone());
                }
            }
            // Over conductors without a number: a bus, or a jumper.
            let touched = reach(end, &buses, net);
            for (at, pin, pin_net) in &pins {
                if pin_net == net && touched.iter().any(|b| touches(*at, &buses[*b].0)) {
                    met.insert(pin.clone());
                }
            }
            assert!(!met.is_empty(), "{name}: {}: wire {wire} ends in the air at {end:?}", scene.slug);
            ends.entry(wire.clone()).or_default().extend(met);
        }
    }
    // The legend's examples belong to no circuit.
    for (_, pin, net) in pins.iter().filter(|(_, _, net)| net != "example") {
        assert!(design.circuit.nets.iter().any(|n| n.name == *net), "{name}: {pin} is on no net: {net}");
    }
}

fn touches(p: Point, points: &[Point]) -> bool {
    points.windows(2).any(|s| on_segment(p, s[0], s[1]))
}

/// Unnumbered conductors of a net that can be reached from a point.
fn reach(from: Point, buses: &[(Vec<Point>, String)], net: &str) -> Vec<usize> {
    let mut found: Vec<usize> =
        (0..buses.len()).filter(|b| buses[*b].1 == net && touches(from, &buses[*b].0)).collect();
    let mut next = 0;
    while next < found.len() {
        let here = buses[found[next]].0.clone();
        for (b, bus) in buses.iter().enumerate() {
            let meets = bus.0.iter().any(|p| touches(*p, &here)) || here.iter().any(|p| touches(*p, &bus.0));
            if bus.1 == net && !found.contains(&b) && meets {
                found.push(b);
            }
        }
        next += 1;
    }
    found
}
