//! What is typed as an answer, read: lengths of bends, frets, fingers, repeats, endings, semitones. Nothing here knows
//! what is asked, or changes anything.

use crate::instrument::hand::Finger;
use crate::instrument::neck::Fret;
use crate::lesson::music::{BendAmount, Technique};
use crate::lesson::time::{Length, Meter, NoteValue, Tempo};
use crate::text::quote::quoted;

/// The farthest that music is transposed at once, in semitones: three octaves. Our own setting.
const FARTHEST: u32 = 36;

/// What a technique that was typed asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum OnOrOff {
    /// The technique is put on the note, or taken off where it is on.
    On(Technique),
    /// Techniques of these sorts are taken off, whatever their amounts.
    Off(Vec<Technique>),
}

/// Every sort of bend; the amounts say nothing.
const BENDS: [Technique; 4] = [
    Technique::Bend(BendAmount::FULL),
    Technique::BendRelease(BendAmount::FULL),
    Technique::PreBend(BendAmount::FULL),
    Technique::PreBendRelease(BendAmount::FULL),
];

/// Reads whatever can be read from text. Errors: in words, what is wrong with it.
pub(super) fn read<T: std::str::FromStr>(text: &str) -> Result<T, String>
where
    T::Err: std::fmt::Display,
{
    text.parse().map_err(|error: T::Err| error.to_string())
}

/// Returns the text, or nothing where there is none.
pub(super) fn some(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}

/// Reads how far to transpose. Errors: in words, what was expected.
pub(super) fn semitones(text: &str) -> Result<i32, String> {
    let far = text.strip_prefix('+').unwrap_or(text).parse::<i32>().ok();
    let far = far.filter(|far| far.unsigned_abs() <= FARTHEST);
    let expected = format!("half steps from -{FARTHEST} to {FARTHEST}, such as 2 or -3");
    far.ok_or_else(|| format!("`{}` is not a number of {expected}", quoted(text)))
}

/// Reads which finger frets a note; nothing typed is none. Errors: in words, that it is no finger.
pub(super) fn finger(text: &str) -> Result<Option<Finger>, String> {
    match text {
        "" => Ok(None),
        "t" => Ok(Some(Finger::Thumb)),
        text => {
            let finger = text.parse().ok().and_then(Finger::from_char);
            finger.map(Some).ok_or_else(|| format!("`{text}` is not a finger: 1 to 4, or T"))
        }
    }
}

/// Reads how often a repeat is played; nothing or 0 is no repeat. Errors: in words, what is wrong with it.
pub(super) fn times(text: &str) -> Result<Option<u8>, String> {
    let times = if text.is_empty() { 0 } else { number(text)? };
    if times == 1 {
        return Err("once is no repeat: 2 or more, or 0 for none".to_owned());
    }
    Ok((times > 1).then_some(times))
}

/// Reads the endings that a bar belongs to, in order, each once. Errors: in words, what is wrong with one.
pub(super) fn endings(text: &str) -> Result<Vec<u8>, String> {
    let numbers = text.split([' ', ',', '.']).filter(|part| !part.is_empty());
    let mut endings = numbers.map(number).collect::<Result<Vec<u8>, String>>()?;
    endings.sort_unstable();
    endings.dedup();
    if endings.contains(&0) {
        return Err("endings are counted from 1".to_owned());
    }
    Ok(endings)
}

/// Reads a bend: whether it is bent before it is picked, how far, and whether it is let down again; nothing takes bends
/// off. Errors: in words, what is wrong with the amount.
pub(super) fn bend(text: &str) -> Result<OnOrOff, String> {
    let (before, rest) = text.strip_prefix("pre").map_or((false, text), |rest| (true, rest.trim_start_matches('-')));
    let released = ["release", "r"].iter().find_map(|word| rest.strip_suffix(word));
    let released = released.filter(|rest| rest.ends_with(|before: char| before == ' ' || before.is_ascii_digit()));
    let amount = released.unwrap_or(rest).trim();
    if amount.is_empty() {
        return Ok(OnOrOff::Off(BENDS.to_vec()));
    }
    let amount: BendAmount = read(amount)?;
    Ok(OnOrOff::On(match (before, released.is_some()) {
        (false, false) => Technique::Bend(amount),
        (false, true) => Technique::BendRelease(amount),
        (true, false) => Technique::PreBend(amount),
        (true, true) => Technique::PreBendRelease(amount),
    }))
}

/// Reads the frets of grace notes on a string that ends at `last`. Errors: in words, which is no fret of it.
pub(super) fn graces(text: &str, last: Fret) -> Result<Vec<Fret>, String> {
    let fret = |text: &str| {
        let fret = number(text).ok().and_then(Fret::new).filter(|fret| *fret <= last);
        fret.ok_or_else(|| format!("`{text}` is not a fret: 0 to {last}"))
    };
    text.split_whitespace().map(fret).collect()
}

/// Reads a technique with a second fret; nothing typed takes it off. Errors: in words, that it is no fret.
pub(super) fn with_fret(text: &str, technique: fn(Fret) -> Technique) -> Result<OnOrOff, String> {
    if text.is_empty() {
        return Ok(OnOrOff::Off(vec![technique(Fret::OPEN)]));
    }
    let fret = number(text).ok().and_then(Fret::new);
    let fret = fret.ok_or_else(|| format!("`{text}` is not a fret: 0 to {}", Fret::LAST))?;
    Ok(OnOrOff::On(technique(fret)))
}

/// Reads a technique with an amount; nothing typed takes it off. Errors: in words, what is wrong with the amount.
pub(super) fn with_amount(text: &str, technique: fn(BendAmount) -> Technique) -> Result<OnOrOff, String> {
    if text.is_empty() {
        return Ok(OnOrOff::Off(vec![technique(BendAmount::FULL)]));
    }
    Ok(OnOrOff::On(technique(read(text)?)))
}

/// Returns what is counted in a meter unless somebody says otherwise: a quarter, or the dotted note that three units of a compound
/// meter make (common practice).
pub(super) fn usual_beat(meter: Meter) -> Length {
    let twice = NoteValue::from_denominator(meter.unit().denominator() / 2).filter(|_| meter.is_compound());
    twice.and_then(|value| Length::new(value, 1, None)).unwrap_or(Length::QUARTER)
}

/// Returns the tempo that is offered in a meter: 120 quarters, or 80 of the dotted notes of a compound meter, which is as fast.
pub(super) fn usual_tempo(meter: Meter) -> Tempo {
    let beat = usual_beat(meter);
    let per_minute = if meter.is_compound() { 80 } else { Tempo::USUAL.per_minute() };
    Tempo::new(beat, per_minute).unwrap_or(Tempo::USUAL)
}

/// Reads a tempo: a note value and how many of them a minute, or only how many, of `beat`; with "bpm" behind it or without.
/// Errors: in words, what is wrong with it.
pub(super) fn tempo(text: &str, beat: Length) -> Result<Tempo, String> {
    let lower = text.to_ascii_lowercase();
    let bare = lower.strip_suffix("bpm").unwrap_or(&lower).trim_end();
    let per_minute = bare.bytes().all(|byte| byte.is_ascii_digit()).then(|| bare.parse::<u16>().ok()).flatten();
    let of_beat = per_minute.and_then(|per_minute| Tempo::new(beat, per_minute));
    match of_beat {
        Some(tempo) => Ok(tempo),
        None if bare.contains('=') => read(bare),
        None => Err(format!("`{}` is not a tempo: 10 to 600 beats per minute, as in 92, or 1/4.=60", quoted(text))),
    }
}

fn number(text: &str) -> Result<u8, String> {
    let number = text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok()).flatten();
    number.ok_or_else(|| format!("`{text}` is not a number"))
}
