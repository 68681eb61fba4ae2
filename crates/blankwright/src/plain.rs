//! Text from files made harmless for a terminal: what others wrote moves no cursor, changes no
//! colour, hides nothing and adds no line.

use knife::Knife;
use reckon::Shop;
use reckon::shop::Printer;

/// Whether a sign tells a terminal what to do, or in which direction to write, instead of being
/// shown.
fn is_command(sign: char) -> bool {
    sign.is_control()
        || matches!(sign, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Lines of text with every such sign shown as one that does nothing.
pub(crate) fn escape_lines(text: &str) -> String {
    let shown = |sign: char| match sign {
        '\n' | '\t' => sign,
        sign if is_command(sign) => char::REPLACEMENT_CHARACTER,
        sign => sign,
    };
    text.chars().map(shown).collect()
}

/// One line: what would begin another is a space.
fn escape_line(text: &mut String) {
    if text.chars().any(is_command) {
        let shown = |sign: char| match sign {
            sign if sign.is_whitespace() => ' ',
            sign if is_command(sign) => char::REPLACEMENT_CHARACTER,
            sign => sign,
        };
        *text = text.chars().map(shown).collect();
    }
}

/// A knife to be told of: its names and reasons each in one harmless line.
pub(crate) fn knife(mut knife: Knife) -> Knife {
    escape_line(&mut knife.name);
    escape_line(&mut knife.bar.grade);
    knife.notes = escape_lines(&knife.notes);
    for hole in &mut knife.holes {
        escape_line(&mut hole.name);
        hole.drill.iter_mut().for_each(escape_line);
    }
    for aside in &mut knife.set_aside {
        escape_line(&mut aside.rule);
        escape_line(&mut aside.reason);
    }
    if let Some(cutting) = &mut knife.cutting {
        cutting.drill.iter_mut().for_each(escape_line);
    }
    knife
}

/// A printer to be told of, likewise.
pub(crate) fn printer(mut printer: Printer) -> Printer {
    escape_line(&mut printer.name);
    printer
}

/// A shop to be told of, likewise.
pub(crate) fn shop(mut shop: Shop) -> Shop {
    let names = std::iter::once(&mut shop.name)
        .chain(shop.inside_tools.iter_mut().map(|tool| &mut tool.name))
        .chain(shop.saws.iter_mut().map(|saw| &mut saw.name))
        .chain(shop.pins.iter_mut().map(|pin| &mut pin.material))
        .chain(shop.bars.iter_mut().map(|bar| &mut bar.grade))
        .chain(shop.printers.iter_mut().map(|printer| &mut printer.name));
    names.for_each(escape_line);
    shop
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_told_commands_a_terminal() {
        let message = "fine é 木 ×\n\x1b[2J\x07\u{9b}31m\u{202e}\r\tend";
        assert_eq!(
            escape_lines(message),
            "fine é 木 ×\n\u{fffd}[2J\u{fffd}\u{fffd}31m\u{fffd}\u{fffd}\tend"
        );
        let mut name = "a\n\nSTOP: b\x1b[2K".to_owned();
        escape_line(&mut name);
        assert_eq!(name, "a  STOP: b\u{fffd}[2K");
    }
}
