//! A drive that cannot be screwed on where its turnout needs it: the board's framing is in the way.
//!
//! Bad: a member across the board at 600 mm, 18 mm wide, and a turnout whose toe is at 600 mm.
//!
//! Good: the turnout, or the member, 40 mm further along.

use crate::check::{Rule, View};
use crate::circuit::PartKind;
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "drive-on-member",
    title: "A drive stands on a framing member of its board.",
    why: "Its pin must come up at the tie bar; a member there leaves no room for the drive or its hole.",
    mend: "Move the turnout or the member, or cut the member away and brace the board beside it.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let document = view.document;
    let drives = view.circuit.parts().filter_map(|(_, p)| match p.kind {
        PartKind::Drive { bar, .. } => Some((bar, p)),
        _ => None,
    });
    let fouled = drives.filter_map(|(bar, part)| {
        let member = crate::drives::fouled_member(document, bar)?;
        let t = document.turnout_of(bar);
        let (name, board) = (&document[bar].name, &document[t.board]);
        let [x, y] = board.members.get(member).map(|m| [(m.from.0, m.to.0), (m.from.1, m.to.1)])?;
        let spoken = |(a, b): (crate::units::Length, crate::units::Length)| {
            if a == b { format!("{:.0}", a.mm()) } else { format!("{:.0} to {:.0}", a.mm(), b.mm()) }
        };
        let place = format!("x {} mm, y {} mm", spoken(x), spoken(y));
        let (along, across) = crate::drives::DRIVE_SIZE;
        let what =
            format!("a drive of {along:.0} by {across:.0} mm at its tie bar meets the member at {place}");
        Some(
            Diagnostic::warning(
                RULE.code,
                format!("{} of {name} stands on a framing member of {}", part.designation, *board.name),
            )
            .label(t.span, what)
            .help(format!("move {} along the board, or the member out of its way", *t.name)),
        )
    });
    fouled.collect()
}
