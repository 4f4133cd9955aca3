//! The large digits of the recording view's clock, which can be read from across the room. Nothing here keeps the time.

use crate::text::charset::Charset;
use crate::workbench::drawing::region::Region;
use crate::workbench::drawing::role::Role;

/// The height of a digit at scale 1, in lines.
pub const LINES: usize = 5;

/// The width of a digit with the gap after it at scale 1, in columns.
const DIGIT: usize = 8;
const GAP: usize = 2;
/// The width of a colon at scale 1, in columns.
const COLON: usize = 2;

/// The shapes of the digits, four dots wide and five dots high. Each dot is two columns wide on the screen.
const SHAPES: [[&str; LINES]; 10] = [
    [".##.", "#..#", "#..#", "#..#", ".##."],
    ["..#.", ".##.", "..#.", "..#.", ".###"],
    ["###.", "...#", ".##.", "#...", "####"],
    ["###.", "...#", ".##.", "...#", "###."],
    ["#..#", "#..#", "####", "...#", "...#"],
    ["####", "#...", "###.", "...#", "###."],
    [".###", "#...", "###.", "#..#", ".##."],
    ["####", "...#", "..#.", ".#..", ".#.."],
    [".##.", "#..#", ".##.", "#..#", ".##."],
    [".##.", "#..#", ".###", "...#", "###."],
];

/// Returns the width of a time such as `12:34` at a scale, in columns.
pub fn width(time: &str, scale: usize) -> usize {
    let columns = |letter: char| if letter == ':' { COLON + GAP } else { DIGIT + GAP };
    time.chars().map(columns).sum::<usize>().saturating_sub(GAP) * scale
}

/// Draws a time from the top left corner of a part of the screen. Every character that is not a digit is drawn as a
/// colon.
pub fn draw(time: &str, scale: usize, region: &mut Region<'_>, role: Role) {
    let dot = match region.appearance().charset {
        Charset::Utf8 => "█",
        Charset::Ascii => "#",
    };
    let mut x = 0;
    for letter in time.chars() {
        let shape = letter.to_digit(10).and_then(|digit| SHAPES.get(usize::try_from(digit).ok()?));
        for line in 0..LINES * scale {
            let row = line / scale;
            let dots: Vec<usize> = match shape.and_then(|shape| shape.get(row)) {
                Some(row) => row.chars().enumerate().filter(|(_, dot)| *dot == '#').map(|(place, _)| place).collect(),
                None if row == 1 || row == 3 => vec![0],
                None => Vec::new(),
            };
            for place in dots {
                region.text(x + place * 2 * scale, line, &dot.repeat(2 * scale), role);
            }
        }
        x += (if shape.is_some() { DIGIT + GAP } else { COLON + GAP }) * scale;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workbench::drawing::appearance::{Appearance, Colours};
    use ratatui::buffer::Buffer;
    use ratatui::layout::Rect;

    fn drawn(time: &str, scale: usize, appearance: Appearance) -> Vec<String> {
        let area = Rect::new(0, 0, u16::try_from(width(time, scale)).unwrap(), u16::try_from(LINES * scale).unwrap());
        let mut buffer = Buffer::empty(area);
        draw(time, scale, &mut Region::new(&mut buffer, area, appearance), Role::Strong);
        (0..area.height).map(|y| (0..area.width).map(|x| buffer[(x, y)].symbol()).collect()).collect()
    }

    const ASCII: Appearance = Appearance { charset: Charset::Ascii, colours: Colours::None };

    #[test]
    fn a_time_is_drawn_with_plain_characters_where_there_are_no_others() {
        let lines: Vec<String> = drawn("1:05", 1, ASCII).iter().map(|line| line.trim_end().to_owned()).collect();
        assert_eq!(
            lines,
            [
                "    ##          ####    ########",
                "  ####    ##  ##    ##  ##",
                "    ##        ##    ##  ######",
                "    ##    ##  ##    ##        ##",
                "  ######        ####    ######",
            ]
        );
    }

    #[test]
    fn no_two_digits_look_alike_and_each_fills_its_place_at_every_scale() {
        for scale in [1, 2] {
            let digits: Vec<Vec<String>> = (0..10).map(|digit| drawn(&digit.to_string(), scale, ASCII)).collect();
            for (place, digit) in digits.iter().enumerate() {
                assert_eq!(digit.len(), 5 * scale);
                assert!(digit.iter().all(|line| line.len() == 8 * scale && line.contains('#')), "{place}");
                assert!(!digits.iter().skip(place + 1).any(|other| other == digit), "{place}");
            }
        }
    }
}
