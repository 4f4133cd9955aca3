//! The one list of characters that act instead of showing, or that show nothing at all.
//!
//! [`super::safe`] replaces them, [`super::quote`] writes them out, and the check of a lesson reports some of
//! them. None of these keeps a list of its own. Each kind below names where Unicode defines it.

/// What a character does that does not show as itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Acting {
    /// It ends a line or goes to a tab stop.
    ///
    /// Source: the controls among the mandatory breaks of UAX #14 (classes BK, CR, LF and NL), and HT.
    Break,
    /// It ends a line or a paragraph and is no control.
    ///
    /// Source: general categories Zl and Zp; The Unicode Standard, 5.8.
    Separator,
    /// It is obeyed by a terminal: bell, backspace, escape and the other controls below the space.
    ///
    /// Source: general category Cc, the C0 set of ISO/IEC 6429 (ECMA-48).
    Control,
    /// It is the control that deletes.
    ///
    /// Source: general category Cc, U+007F.
    Delete,
    /// It is obeyed by some terminals like a whole escape sequence: U+009B begins one as ESC and `[` do.
    ///
    /// Source: general category Cc, the C1 set of ISO/IEC 6429 (ECMA-48).
    HighControl,
    /// It turns the direction of a stretch of text, so that a line reads as something else.
    ///
    /// Source: the explicit embeddings, overrides and isolates of UAX #9, 2.1 to 2.5.
    Turn,
    /// It has a direction and no shape.
    ///
    /// Source: the implicit directional marks of UAX #9, 2.6.
    TurnMark,
    /// It joins two letters or keeps them apart, which some writings and emoji need.
    ///
    /// Source: The Unicode Standard, 23.2, U+200C and U+200D.
    Joiner,
    /// It carries a letter that nobody sees.
    ///
    /// Source: The Unicode Standard, 23.9, with all of the block range that is ignored by default.
    Tag,
    /// It shows nothing: soft hyphen, invisible spaces and operators, fillers, annotations.
    ///
    /// Source: property Default_Ignorable_Code_Point of DerivedCoreProperties.txt, less the selectors of
    /// a variant, which only change how the character before them looks; and the annotation characters of 23.8.
    Unseen,
}

/// Returns what `character` does instead of showing; `None` for one that shows as itself.
pub const fn acting(character: char) -> Option<Acting> {
    Some(match character {
        ' '..='~' => return None,
        '\t' | '\n' | '\r' | '\u{0B}' | '\u{0C}' | '\u{85}' => Acting::Break,
        '\u{2028}' | '\u{2029}' => Acting::Separator,
        '\0'..='\u{1F}' => Acting::Control,
        '\u{7F}' => Acting::Delete,
        '\u{80}'..='\u{9F}' => Acting::HighControl,
        '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => Acting::Turn,
        '\u{061C}' | '\u{200E}' | '\u{200F}' => Acting::TurnMark,
        '\u{200C}' | '\u{200D}' => Acting::Joiner,
        '\u{AD}' | '\u{034F}' | '\u{115F}' | '\u{1160}' | '\u{17B4}' | '\u{17B5}' => Acting::Unseen,
        '\u{180E}' | '\u{200B}' | '\u{2060}'..='\u{2065}' | '\u{206A}'..='\u{206F}' | '\u{3164}' => Acting::Unseen,
        '\u{FEFF}' | '\u{FFA0}' | '\u{FFF0}'..='\u{FFFB}' => Acting::Unseen,
        '\u{1BCA0}'..='\u{1BCA3}' | '\u{1D173}'..='\u{1D17A}' => Acting::Unseen,
        '\u{E0000}'..='\u{E0FFF}' => Acting::Tag,
        _ => return None,
    })
}
