//! Texts that are no chord symbols: each is answered with what was understood and what was not.

use fingerpost::theory::symbol::ChordSymbol;
use proptest::prelude::*;

#[test]
fn what_was_understood_and_what_was_not_is_said() {
    for (text, message) in [
        ("Cmaj7xyz", "`Cmaj7xyz` is not a chord symbol: Cmaj7 is read, but `xyz` is not"),
        ("Cm7(b9,quux)", "`Cm7(b9,quux)` is not a chord symbol: Cm7(b9 is read, but `quux)` is not"),
        ("am7", "`am7` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7`"),
        ("H7", "`H7` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7`"),
        ("", "nothing is written where a chord symbol was expected, as in `Am7` or `D/F#`"),
        ("C/H", "`C/H` is not a chord symbol: C is read, but `H` after the slash is no bass note, a capital A to G"),
        ("C/", "`C/` is not a chord symbol: expected a bass note after the slash, a capital A to G"),
        ("C7(b9", "`C7(b9` is not a chord symbol: a bracket is opened or closed without its partner"),
        ("C7b9)", "`C7b9)` is not a chord symbol: a bracket is opened or closed without its partner"),
        ("C7no9", "`C7no9` is not a chord symbol: C7 has no 9 to leave out"),
        ("C###", "`C###` is not a chord symbol: a root has at most two sharps or flats"),
        ("C77", "`C77` is not a chord symbol: C7 is read, but `7` is not"),
        ("C#b#b#b#b#########", "`C#b#b#b#b#########` is not a chord symbol: C# is read, but `b#b#b#b#########` is not"),
        ("Cfoo", "`Cfoo` is not a chord symbol: C is read, but `foo` is not"),
        ("Ch7", "`Ch7` is not a chord symbol: C is read, but `h7` is not; write `Cm7b5`"),
        ("F#h", "`F#h` is not a chord symbol: F# is read, but `h` is not; write `F#m7b5`"),
        ("Ch9", "`Ch9` is not a chord symbol: C is read, but `h9` is not; write `Cm9b5`"),
        ("Bb^7", "`Bb^7` is not a chord symbol: Bb is read, but `^7` is not; write `Bbmaj7`"),
        ("C^", "`C^` is not a chord symbol: C is read, but `^` is not; write `Cmaj7`"),
        ("Chat", "`Chat` is not a chord symbol: C is read, but `hat` is not"),
        ("Cm7b", "`Cm7b` is not a chord symbol: Cm7 is read, but `b` is not"),
        ("Cmajj7", "`Cmajj7` is not a chord symbol: Cmaj is read, but `j7` is not"),
        ("C(", "`C(` is not a chord symbol: a bracket is opened or closed without its partner"),
        ("C)b9(", "`C)b9(` is not a chord symbol: a bracket is opened or closed without its partner"),
        ("Csus3", "`Csus3` is not a chord symbol: Csus is read, but `3` is not"),
        ("C7sus24", "`C7sus24` is not a chord symbol: C7sus2 is read, but `4` is not"),
        ("Cadd69", "`Cadd69` is not a chord symbol: Cadd6 is read, but `9` is not"),
        ("Cadd", "`Cadd` is not a chord symbol: C is read, but `add` is not"),
        ("Cno1", "`Cno1` is not a chord symbol: C is read, but `no1` is not"),
        ("C10", "`C10` is not a chord symbol: C is read, but `10` is not"),
        ("C7b10", "`C7b10` is not a chord symbol: C7 is read, but `b10` is not"),
        ("C7 D7", "`C7 D7` is not a chord symbol: C7 is read, but `D7` is not"),
        ("C-D-E", "`C-D-E` is not a chord symbol: C- is read, but `D-E` is not"),
        (
            "C/E/G",
            "`C/E/G` is not a chord symbol: C is read, but `E/G` after the slash is no bass note, a capital A to G",
        ),
        ("C/e", "`C/e` is not a chord symbol: C is read, but `e` after the slash is no bass note, a capital A to G"),
        (
            "C/E##b",
            "`C/E##b` is not a chord symbol: C is read, but `E##b` after the slash is no bass note, a capital A to G",
        ),
        ("   ", "nothing is written where a chord symbol was expected, as in `Am7` or `D/F#`"),
        ("🎸", "`🎸` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7`"),
        ("Cm7🎸", "`Cm7🎸` is not a chord symbol: Cm7 is read, but `🎸` is not"),
        ("x32010", "`x32010` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7`"),
        (
            "\u{1b}[31mC",
            "`\\u{1b}[31mC` is not a chord symbol: it should start with its root, a capital A to G, as in `Bb7`",
        ),
        ("C\u{1b}[31m", "`C\\u{1b}[31m` is not a chord symbol: C is read, but `\\u{1b}[31m` is not"),
        ("C\0", "`C\\u{0}` is not a chord symbol: C is read, but `\\u{0}` is not"),
        ("C\u{202e}7", "`C\\u{202e}7` is not a chord symbol: C is read, but `\\u{202e}7` is not"),
    ] {
        let error = text.parse::<ChordSymbol>().unwrap_err();
        assert_eq!(error.to_string(), message);
    }
}

#[test]
fn ten_thousand_characters_get_a_short_message() {
    for text in ["C".repeat(10_000), format!("C7{}", "(".repeat(10_000)), format!("Cm{}", "/".repeat(10_000))] {
        let message = text.parse::<ChordSymbol>().unwrap_err().to_string();
        assert!(message.starts_with(&format!("`{}", &text[..30])), "{message}");
        assert!(message.chars().count() < 250, "{message}");
    }
    // What repeats itself in earnest is read, however long.
    assert_eq!(format!("C{}", "add9".repeat(100_000)).parse::<ChordSymbol>().unwrap().to_string(), "Cadd9");
    assert_eq!(format!("C7{}", "b9".repeat(5_000)).parse::<ChordSymbol>().unwrap().to_string(), "C7b9");
}

/// A text is read, or answered with a message that can be shown: short, of one line, without control characters.
fn read_or_answered(text: &str) -> Result<(), TestCaseError> {
    if let Err(error) = text.parse::<ChordSymbol>() {
        let message = error.to_string();
        prop_assert!(message.chars().count() < 600, "{}", message);
        prop_assert!(!message.chars().any(char::is_control), "{:?}", message);
        prop_assert!(
            text.contains('`') || !message.contains("``"),
            "nothing is named that was not understood: {}",
            message
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2048))]

    #[test]
    fn no_text_makes_the_reader_panic(text in "[A-G][-A-Za-z0-9#♭Δø°+/(),. ]{0,12}") {
        read_or_answered(&text)?;
    }

    #[test]
    fn no_row_of_words_makes_the_reader_panic(
        words in prop::collection::vec(prop::sample::select(vec![
            "C", "#", "b", "m", "maj", "7", "69", "24", "13", "sus", "add", "no", "alt", "dim", "aug", "+", "-", "/",
            "(", ")", ",", "Δ", "dom", "5", "9", "E",
        ]), 0..10)
    ) {
        read_or_answered(&format!("C{}", words.concat()))?;
    }

    #[test]
    fn neither_does_any_text_at_all(text in any::<String>()) {
        read_or_answered(&text)?;
    }
}
