//! `fingerpost voicings`: every way to play a chord, best first. The search is not here; see `instrument::voicing`.

use std::io::{self, Write};

use anyhow::{Context as _, Result, anyhow, bail};
use serde::Serialize;

use super::args::VoicingsArgs;
use super::batch::{Answered, JsonLines, each_line};
use super::complaint::{refused, told};
use super::held_shape::{HeldShape, OpenShapeAnswer, drawn, grid, rig};
use super::outcome::{Outcome, Streams};
use super::progression::{self, AnswerForm, MovesAnswer, told as told_moves};
use crate::instrument::body::Millimetres;
use crate::instrument::fingering::{Fingering, fingering};
use crate::instrument::hand::{Hand, HandSize, ThumbUse};
use crate::instrument::neck::{Fret, Shape};
use crate::instrument::rig::Rig;
use crate::instrument::voicing::board::ChordBoard;
use crate::instrument::voicing::level::PlayerLevel;
use crate::instrument::voicing::open_shapes::OpenShapes;
use crate::instrument::voicing::path::PathStep;
use crate::instrument::voicing::request::{Request, Sought};
use crate::instrument::voicing::search::MOST;
use crate::instrument::voicing::tones::ChordTones;
use crate::instrument::voicing::voicing_words::{over, why};
use crate::text::charset::Charset;
use crate::text::quote::quoted;
use crate::text::safe::printable;
use crate::theory::symbol::{ChordSymbol, SymbolError};

/// Among how many of the best voicings the easiest is looked for, where a lower level has none.
const FIRST: usize = 10;

/// One line of JSON: a symbol with its voicings, or the reason why there are none.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum VoicingsAnswer<'a> {
    Found {
        symbol: &'a str,
        voicings: Vec<VoicingLine>,
        /// The name by the shapes, where a capo or a lowered tuning makes it differ from the name by the sound.
        #[serde(skip_serializing_if = "Option::is_none")]
        played_as: Option<String>,
        /// The constraints that could be loosened, where nothing was found.
        #[serde(skip_serializing_if = "Option::is_none")]
        none_because: Option<String>,
        /// A note on what is missing, where there are too many voicings to list them all.
        #[serde(skip_serializing_if = "Option::is_none")]
        not_listed: Option<String>,
    },
    Refused {
        symbol: &'a str,
        error: String,
    },
}

/// One voicing, as JSON shows it.
#[derive(Debug, Serialize)]
struct VoicingLine {
    #[serde(flatten)]
    held: HeldShape,
    why: String,
    /// The open shape that it comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    open_shape: Option<OpenShapeAnswer>,
    /// The movement from the shape of `--after`.
    #[serde(skip_serializing_if = "Option::is_none")]
    movement: Option<MovesAnswer>,
}

/// Shows the voicings of the given symbols one after the other.
///
/// The outcome is [`Outcome::ProblemsFound`] when a line of a batch is not a symbol, or when a symbol has no voicing
/// that meets the request.
///
/// Errors: an invalid tuning, instrument, capo or constraint, constraints that contradict each other, a symbol that
/// cannot be read, a batch that cannot be read to its end, or output that cannot be written.
pub fn run(args: &VoicingsArgs, streams: &mut Streams<'_>) -> Result<Outcome> {
    let mut finder = Finder::new(args)?;
    if let Some(path) = &args.path {
        return progression::run(path, &finder.rig, &finder.request, finder.format, streams.out);
    }
    let Some(batch) = &args.batch else { return finder.symbols(&args.symbols, streams.out) };
    each_line(batch, streams.input, streams.out, "symbol", &mut |text, out| finder.answer(text, out))
}

/// The settings that all symbols of one call share.
struct Finder {
    rig: Rig,
    board: ChordBoard,
    open_shapes: OpenShapes,
    /// The chord of the open shape that all come from.
    from_shape: Option<ChordSymbol>,
    order: VoicingOrder,
    request: Request,
    /// The shape from which the hand comes.
    after: Option<(Shape, Fingering)>,
    limit: usize,
    format: AnswerForm,
    lines: JsonLines,
}

/// The order in which voicings are listed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum VoicingOrder {
    BestFirst,
    ByOpenShape,
}

impl Finder {
    fn new(args: &VoicingsArgs) -> Result<Self> {
        let rig = rig(&args.rig)?;
        let size: HandSize = args.hand.parse()?;
        let mut hand = Hand::new(size);
        if let Some(reach) = args.max_reach {
            let wrong = || anyhow!("{reach} mm is not a reach: expected millimetres above 0, as in `--max-reach 90`");
            hand = hand.reaching(Millimetres(reach)).ok_or_else(wrong)?;
        }
        let mut request = Request { hand, ..Request::default() };
        if let Some(text) = &args.frets {
            request.frets = frets(text, &rig)?;
        }
        request.top = args.top.as_deref().map(str::parse).transpose().context("`--top`")?;
        request.bass = args.bass.as_deref().map(str::parse).transpose().context("`--bass`")?;
        if args.wanted.no_thumb {
            request.thumb = ThumbUse::Never;
        }
        request.level = args.wanted.level.parse()?;
        let open_shapes = OpenShapes::on(&rig);
        let from_shape =
            args.wanted.shape.as_deref().map(|text| open_shapes.called(text)).transpose().context("`--shape`")?;
        let after = args.after.as_deref().map(|text| held(text, &rig, &request)).transpose()?;
        let format = match (args.json, args.ascii) {
            (true, _) => AnswerForm::Json,
            (false, true) => AnswerForm::Grids(Charset::Ascii),
            (false, false) => AnswerForm::Grids(Charset::Utf8),
        };
        Ok(Self {
            board: ChordBoard::of(&rig),
            open_shapes,
            from_shape,
            order: if args.wanted.by_shape { VoicingOrder::ByOpenShape } else { VoicingOrder::BestFirst },
            rig,
            request,
            after,
            limit: args.limit,
            format,
            lines: JsonLines::default(),
        })
    }

    fn symbols(&mut self, symbols: &[String], out: &mut dyn Write) -> Result<Outcome> {
        let mut outcome = Outcome::Fine;
        let mut faults = Vec::new();
        let mut is_first = true;
        for text in symbols {
            let fault = self.asked(text).err();
            // Grids leave faults to the error.
            if fault.is_none() || self.format == AnswerForm::Json {
                if !is_first && self.format != AnswerForm::Json {
                    writeln!(out)?;
                }
                is_first = false;
                if self.answer(text, out)? == Answered::No {
                    outcome = Outcome::ProblemsFound;
                }
            }
            // A symbol that cannot be read is named by the error itself.
            faults.extend(fault.map(|fault| match fault.is::<SymbolError>() {
                true => told(&fault),
                false => format!("`{}`: {}", quoted(text), told(&fault)),
            }));
        }
        // The answers are printed whatever was wrong with one of the symbols.
        refused(&faults)?;
        Ok(outcome)
    }

    /// Answers one symbol with a line of JSON or with grids. Errors: output that cannot be written.
    fn answer(&mut self, text: &str, out: &mut dyn Write) -> Result<Answered> {
        let found = self.asked(text).and_then(|symbol| Ok((self.found(&symbol)?, symbol)));
        match (self.format, found) {
            (AnswerForm::Json, Err(error)) => {
                self.lines.write(&VoicingsAnswer::Refused { symbol: text, error: told(&error) }, text, out)?;
                Ok(Answered::No)
            }
            (AnswerForm::Json, Ok((found, symbol))) => {
                let line = |PathStep { voicing, movement }: &PathStep| VoicingLine {
                    held: HeldShape::new(&voicing.shape, &voicing.fingering),
                    why: why(&self.rig, &symbol, voicing, &self.open_shapes),
                    open_shape: self.open_shapes.of(&voicing.shape).as_ref().map(OpenShapeAnswer::new),
                    movement: movement.as_ref().map(|movement| MovesAnswer::new(movement, &symbol)),
                };
                let none_because = (found.all == 0).then(|| self.loosen(&symbol));
                let voicings = found.list.iter().map(line).collect();
                let (played_as, not_listed) = (self.played_as(&symbol), found.not_listed(self.limit));
                let answer = VoicingsAnswer::Found { symbol: text, voicings, played_as, none_because, not_listed };
                self.lines.write(&answer, text, out)?;
                Ok(if found.all == 0 { Answered::No } else { Answered::Yes })
            }
            (AnswerForm::Grids(_), Err(error)) => {
                writeln!(out, "{}\n  {}", quoted(text.trim()), printable(&told(&error)))?;
                Ok(Answered::No)
            }
            (AnswerForm::Grids(charset), Ok((found, symbol))) => Ok(self.write_grids(&symbol, &found, charset, out)?),
        }
    }

    fn write_grids(
        &self,
        symbol: &ChordSymbol,
        found: &Found,
        charset: Charset,
        out: &mut dyn Write,
    ) -> io::Result<Answered> {
        let tones: Vec<String> = symbol.tones().iter().map(ToString::to_string).collect();
        let Found { list, all, .. } = found;
        if list.is_empty() && *all == 0 {
            writeln!(out, "{symbol}   {}\n  {}", tones.join(" "), self.loosen(symbol))?;
            return Ok(Answered::No);
        }
        let shown = match (found.complete, list.len()) {
            (true, 1) if *all == 1 => "1 voicing".to_owned(),
            (true, listed) if listed == *all => format!("{all} voicings"),
            (true, listed) => format!("{listed} of {all} voicings"),
            (false, listed) => format!("{listed} of more than {MOST} voicings"),
        };
        let played = self.played_as(symbol).map(|played| format!(" (played as {played})")).unwrap_or_default();
        writeln!(out, "{symbol}{played}   {}   {shown}\n", tones.join(" "))?;
        let grids: Vec<_> = list
            .iter()
            .map(|PathStep { voicing, movement }| {
                let mut note = format!(
                    "{}; {:.0} mm",
                    why(&self.rig, symbol, voicing, &self.open_shapes),
                    voicing.fingering.reach.0
                );
                if let Some(movement) = movement {
                    note = format!("{}; {note}", told_moves(movement, symbol));
                }
                grid(&voicing.shape.to_string(), &voicing.shape, &voicing.fingering, note)
            })
            .collect();
        out.write_all(drawn(&grids, charset).as_bytes())?;
        if let Some(missing) = found.not_listed(self.limit) {
            writeln!(out, "\n  {missing}")?;
        }
        Ok(Answered::Yes)
    }

    /// Reads a symbol and checks it against the other arguments. Errors: it cannot be read, or it contradicts them.
    fn asked(&self, text: &str) -> Result<ChordSymbol> {
        let symbol: ChordSymbol = text.trim_start_matches('\u{feff}').parse()?;
        let symbol = match self.request.bass {
            Some(bass) => with_bass(&symbol, bass)?,
            None => symbol,
        };
        if let Some(top) = self.request.top
            && !symbol.pitch_classes().has(top.pitch_class().number())
        {
            bail!("{top} is not in {symbol}, which has {}: it cannot be the top note", tones(&symbol));
        }
        let symbol = self.rig.lowest_is().named(&symbol);
        ChordTones::of(&symbol, self.rig.tuning().strings().len())?;
        Ok(symbol)
    }

    fn found(&self, symbol: &ChordSymbol) -> Result<Found> {
        let mut search = self.board.search(symbol, &self.request)?.with_incomplete();
        if let Some(name) = &self.from_shape {
            search.retain(|shape| self.open_shapes.of(shape).is_some_and(|open| open.is_called(name)));
        }
        let (all, complete) = (search.count(), search.is_complete());
        let list = match &self.after {
            Some((shape, fingering)) => search.after(&self.rig, (shape, fingering), self.limit)?,
            None => {
                let found = match self.order {
                    VoicingOrder::BestFirst => search.found(self.limit),
                    VoicingOrder::ByOpenShape => {
                        let mut found = search.found(usize::MAX);
                        found.sort_by_cached_key(|voicing| self.open_shapes.place(&voicing.shape));
                        found.truncate(self.limit);
                        found
                    }
                };
                found.into_iter().map(|voicing| PathStep { voicing, movement: None }).collect()
            }
        };
        Ok(Found { list, all, complete })
    }

    fn played_as(&self, symbol: &ChordSymbol) -> Option<String> {
        let down = -self.rig.played_as().semitones();
        (down != 0).then(|| symbol.moved(down, None).to_string())
    }

    /// Returns the easiest of the first voicings that the next higher level has, in words; nothing where it is not the level alone
    /// that leaves none.
    fn easiest_above(&self, symbol: &ChordSymbol) -> Option<(PlayerLevel, String)> {
        PlayerLevel::ALL.into_iter().filter(|level| *level > self.request.level).find_map(|level| {
            let request = Request { level, ..self.request.clone() };
            let first = self.board.search(symbol, &request).ok()?.found(FIRST);
            let easiest = first.iter().min_by_key(|voicing| (voicing.fingering.strain, voicing.cost))?;
            Some((level, easiest.shape.to_string()))
        })
    }

    /// Returns what to do where nothing was found, in words.
    fn loosen(&self, symbol: &ChordSymbol) -> String {
        let Request { frets, top, bass, hand, .. } = &self.request;
        let plain = Request::default();
        let mut constraints = Vec::new();
        if *frets != plain.frets {
            constraints.push(format!("frets {}-{}", frets.start(), frets.end()));
        }
        constraints.extend(top.map(|top| format!("{top} on top")));
        constraints.extend(bass.map(|bass| format!("{bass} in the bass")));
        if *hand != plain.hand {
            constraints.push(format!("a reach of {:.0} mm", hand.reach().0));
        }
        if self.request.level != plain.level {
            constraints.push(format!("the level {}", self.request.level));
        }
        constraints.extend(self.from_shape.as_ref().map(|name| format!("the {name} shape")));
        if constraints.is_empty() {
            return "no hand of this size can hold it on this instrument".to_owned();
        }
        let is_told = self.request.level != plain.level && self.from_shape.is_none();
        let easiest = self.easiest_above(symbol).filter(|_| is_told);
        let rather = easiest.map_or_else(
            || "ask for less".to_owned(),
            |(level, shape)| format!("the easiest is {shape}, of the level {level}"),
        );
        format!("no voicing with {}: {rather}", constraints.join(" and "))
    }
}

/// The voicings found for a symbol.
struct Found {
    list: Vec<PathStep>,
    /// The number of all voicings; the number exceeds [`MOST`] where the list is not `complete`.
    all: usize,
    complete: bool,
}

impl Found {
    /// Returns what is missing from a list that is cut short.
    fn not_listed(&self, limit: usize) -> Option<String> {
        (!self.complete && limit > self.list.len()).then(|| {
            format!(
                "there are more than {MOST}, and only the {} best are listed: ask for less, as with `--frets`",
                self.list.len()
            )
        })
    }
}

/// Reads the shape from which the hand comes, which the hand must be able to hold. Errors: it cannot be read or held.
fn held(text: &str, rig: &Rig, request: &Request) -> Result<(Shape, Fingering)> {
    let shape: Shape = text.parse().context("`--after`")?;
    let fingering = fingering(rig, &shape, &request.hand).with_context(|| format!("`--after {}`", quoted(text)))?;
    Ok((shape, fingering))
}

fn tones(symbol: &ChordSymbol) -> String {
    symbol.tones().iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

/// Puts the requested bass under `symbol`. Errors: the symbol has another bass.
fn with_bass(symbol: &ChordSymbol, bass: Sought) -> Result<ChordSymbol> {
    if let Some(own) = symbol.bass() {
        if own.pitch_class() != bass.pitch_class() {
            bail!("{symbol} has {own} in the bass, and `--bass` asks for {bass}: leave one of them out");
        }
        return Ok(symbol.clone());
    }
    if symbol.pitch_classes().has(bass.pitch_class().number()) {
        return Ok(symbol.clone());
    }
    let name = match bass {
        Sought::Tone(name) => name,
        Sought::Note(pitch) => pitch.name(),
    };
    over(symbol, name).ok_or_else(|| anyhow!("{name} cannot be written under {symbol}"))
}

/// Reads `5-9`, or one fret alone. Errors: the text is neither, or the instrument lacks such frets.
fn frets(text: &str, rig: &Rig) -> Result<std::ops::RangeInclusive<Fret>> {
    let wrong = || {
        anyhow!("`--frets {}` is not a range of frets: expected the lowest and the highest, as in `5-9`", quoted(text))
    };
    let (low, high) = text.trim().split_once('-').unwrap_or((text.trim(), text.trim()));
    let read = |text: &str| -> Option<u8> { text.trim().parse().ok() };
    let (low, high) = (read(low).ok_or_else(wrong)?, read(high).ok_or_else(wrong)?);
    let last = rig.highest_fret();
    if low > high {
        bail!("`--frets {low}-{high}` runs backward: expected the lower fret first, as in `--frets {high}-{low}`");
    }
    if low > last.number() {
        bail!("`--frets {low}-{high}` lies past the end of the neck: the last fret is {last}");
    }
    let (low, high) = (Fret::new(low), Fret::new(high.min(Fret::LAST)));
    Ok(low.ok_or_else(wrong)?..=high.ok_or_else(wrong)?)
}
