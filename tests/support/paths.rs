//! Reads the paths that Rust code names: enough of the language to tell code from comments and
//! strings, and to take `use a::{b, c::d}` apart.

use std::path::Path;

/// The module that a file under src/ holds.
pub fn module(file: &Path) -> Vec<String> {
    let mut module: Vec<String> =
        file.with_extension("").iter().map(|part| part.to_string_lossy().into_owned()).collect();
    if module.last().is_some_and(|last| last == "mod" || last == "lib") {
        module.pop();
    }
    module
}

/// Names of modules in files of their own that exist in tests only.
pub fn test_modules(text: &str) -> Vec<String> {
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    lines
        .windows(2)
        .filter(|pair| pair[0] == "#[cfg(test)]")
        .filter_map(|pair| pair[1].split_once("mod ")?.1.strip_suffix(';').map(str::to_owned))
        .collect()
}

/// The code without its comments, its strings and the tests at its end; line breaks stay.
pub fn code(text: &str) -> String {
    let tests = text.find("#[cfg(test)]\nmod tests {").unwrap_or(text.len());
    let chars: Vec<char> = text[..tests].chars().collect();
    let mut code = String::new();
    let mut i = 0;
    while i < chars.len() {
        let end = match chars[i] {
            '/' if chars.get(i + 1) == Some(&'/') => until(&chars, i, |c| c[0] == '\n'),
            '"' => string_end(&chars, i),
            'r' if !follows_word(&code) && matches!(chars.get(i + 1), Some('"' | '#')) => raw_end(&chars, i),
            // A character, not a lifetime: 'x' or '\n' or '\''.
            '\'' if chars.get(i + 1) == Some(&'\\') => until(&chars, i + 3, |c| c[0] == '\'') + 1,
            '\'' if chars.get(i + 2) == Some(&'\'') => i + 3,
            _ => i,
        };
        if end == i {
            code.push(chars[i]);
            i += 1;
        } else {
            code.extend(chars[i..end.min(chars.len())].iter().filter(|c| **c == '\n'));
            i = end;
        }
    }
    code
}

fn follows_word(code: &str) -> bool {
    code.chars().next_back().is_some_and(|c| c.is_alphanumeric() || c == '_')
}

fn until(chars: &[char], from: usize, end: impl Fn(&[char]) -> bool) -> usize {
    (from..chars.len()).find(|i| end(&chars[*i..])).unwrap_or(chars.len())
}

fn string_end(chars: &[char], start: usize) -> usize {
    let mut i = start + 1;
    while i < chars.len() && chars[i] != '"' {
        i += if chars[i] == '\\' { 2 } else { 1 };
    }
    i + 1
}

/// The end of `r"…"` or `r#"…"#`; the start itself if this is neither.
fn raw_end(chars: &[char], start: usize) -> usize {
    let hashes = chars[start + 1..].iter().take_while(|c| **c == '#').count();
    if chars.get(start + 1 + hashes) != Some(&'"') {
        return start;
    }
    let close: Vec<char> = std::iter::once('"').chain(std::iter::repeat_n('#', hashes)).collect();
    until(chars, start + 2 + hashes, |c| c.starts_with(&close)) + close.len()
}

#[derive(Clone, Copy, PartialEq)]
enum Token<'a> {
    Word(&'a str),
    Colons,
    Other(char),
}

fn tokens(code: &str) -> Vec<(usize, Token<'_>)> {
    let mut found = Vec::new();
    let mut line = 1;
    let mut rest = code;
    while let Some(c) = rest.chars().next() {
        let is_word = |c: char| c.is_alphanumeric() || c == '_';
        let length = if is_word(c) { rest.find(|c| !is_word(c)).unwrap_or(rest.len()) } else { c.len_utf8() };
        if is_word(c) {
            found.push((line, Token::Word(&rest[..length])));
        } else if rest.starts_with("::") {
            found.push((line, Token::Colons));
            rest = &rest[2..];
            continue;
        } else if !c.is_whitespace() {
            found.push((line, Token::Other(c)));
        }
        line += usize::from(c == '\n');
        rest = &rest[length..];
    }
    found
}

/// Every path with at least two names, groups taken apart, with its line.
pub fn paths(code: &str) -> Vec<(usize, Vec<String>)> {
    let tokens = tokens(code);
    let mut found = Vec::new();
    let mut i = 0;
    while i < tokens.len() {
        let starts = matches!(tokens[i].1, Token::Word(_)) && (i == 0 || tokens[i - 1].1 != Token::Colons);
        if starts { path(&tokens, &mut i, &[], &mut found) } else { i += 1 }
    }
    found.retain(|(_, path)| path.len() > 1);
    found
}

/// Reads one path, which may end in a group, from the token at `i` on.
fn path(
    tokens: &[(usize, Token<'_>)],
    i: &mut usize,
    before: &[String],
    found: &mut Vec<(usize, Vec<String>)>,
) {
    let mut path = before.to_vec();
    let line = tokens[*i].0;
    loop {
        match tokens.get(*i).map(|t| t.1) {
            Some(Token::Word(word)) => {
                path.push(word.to_owned());
                *i += 1;
            }
            Some(Token::Other('{')) if path.len() > before.len() || !before.is_empty() => {
                *i += 1;
                while let Some(token) = tokens.get(*i).map(|t| t.1) {
                    match token {
                        Token::Other('}') => {
                            *i += 1;
                            return;
                        }
                        Token::Word(_) => self::path(tokens, i, &path, found),
                        _ => *i += 1,
                    }
                }
                return;
            }
            _ => break,
        }
        if tokens.get(*i).map(|t| t.1) != Some(Token::Colons) {
            break;
        }
        *i += 1;
    }
    found.push((line, path));
}

/// Names of the macros that are called, with their lines.
pub fn macros(code: &str) -> Vec<(usize, String)> {
    tokens(code)
        .windows(3)
        .filter_map(|t| match (t[0].1, t[1].1, t[2].1) {
            (Token::Word(name), Token::Other('!'), Token::Other('(' | '[' | '{')) => {
                Some((t[0].0, name.to_owned()))
            }
            _ => None,
        })
        .collect()
}

/// `super::x` and `self::x` as seen from a module, from `crate` on; other paths as they are.
pub fn absolute(module: &[String], path: Vec<String>) -> Vec<String> {
    let ups = path.iter().take_while(|part| *part == "super").count();
    let skip = if ups == 0 { usize::from(path[0] == "self") } else { ups };
    if skip == 0 {
        return path;
    }
    let kept = module.len().saturating_sub(ups);
    std::iter::once("crate".to_owned())
        .chain(module[..kept].iter().cloned())
        .chain(path[skip..].iter().cloned())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<(usize, String)> {
        paths(&code(text)).into_iter().map(|(line, path)| (line, path.join("::"))).collect()
    }

    #[test]
    fn groups_are_taken_apart_and_lines_counted() {
        let text = "use crate::{a::B, c::{self, D}};\n\nfn f() { super::g::<T>(x::Y { z: 1 }) }";
        let expected =
            [(1, "crate::a::B"), (1, "crate::c::self"), (1, "crate::c::D"), (3, "super::g"), (3, "x::Y")];
        assert_eq!(read(text), expected.map(|(line, path)| (line, path.to_owned())));
    }

    #[test]
    fn comments_strings_characters_and_tests_are_no_code() {
        let text = "// a::b\nlet s = \"c::d \\\" e::f\"; let r = r#\"g::h\"i::j\"#; let q = '\"'; k::l::<'a>();\n\
                    #[cfg(test)]\nmod tests {\n    use m::n;\n}";
        assert_eq!(read(text), [(2, "k::l".to_owned())]);
    }

    #[test]
    fn paths_upwards_are_resolved() {
        let module: Vec<String> = ["draw", "sheets", "pen"].map(str::to_owned).to_vec();
        let resolve =
            |path: &str| absolute(&module, path.split("::").map(str::to_owned).collect()).join("::");
        assert_eq!(resolve("super::super::M"), "crate::draw::M");
        assert_eq!(resolve("self::x"), "crate::draw::sheets::pen::x");
        assert_eq!(resolve("crate::units"), "crate::units");
        assert_eq!(resolve("std::fs"), "std::fs");
    }
}
