//! The list of checks for the builder.

use super::RULES;

/// `docs/checks.md`: every rule with what it finds, why that matters and how to mend it.
pub fn manual() -> String {
    let mut text = String::from(
        "# Checks\n\nWhat is looked at when the design is finished. Each finding bears the short name \
         that heads its\nsection here. This page is made from the rules themselves.\n",
    );
    for rule in RULES {
        text += &format!(
            "\n## {}\n\n{}\n\n**Why.** {}\n\n**Mend.** {}\n",
            rule.code, rule.title, rule.why, rule.mend
        );
    }
    text
}
