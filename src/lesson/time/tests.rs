use super::*;

/// Returns every length there is.
fn lengths() -> Vec<Length> {
    let mut all = Vec::new();
    for value in NoteValue::ALL {
        for dots in 0..=2 {
            all.extend(Length::new(value, dots, None));
            for actual in 0..=u8::MAX {
                all.extend(
                    (0..=u8::MAX).filter_map(|normal| Length::new(value, dots, Some(Tuplet { actual, normal }))),
                );
            }
        }
    }
    all
}

#[test]
fn every_tuplet_sums_exactly() {
    for length in lengths() {
        let Some(Tuplet { actual, normal }) = length.tuplet() else { continue };
        let plain = Length::new(length.value(), length.dots(), None).unwrap().ticks();
        let group: Ticks = (0..actual).map(|_| length.ticks()).sum();
        assert_eq!(group, Ticks(plain.0 * u64::from(normal)), "{length}");
    }
}

#[test]
fn usual_tuplets_exist_down_to_the_sixty_fourth() {
    for value in NoteValue::ALL {
        for (actual, normal) in [(3, 2), (5, 4), (6, 4), (7, 4), (9, 8), (2, 3), (4, 3)] {
            assert!(Length::new(value, 0, Some(Tuplet { actual, normal })).is_some(), "{value:?} {actual}:{normal}");
        }
    }
    for (actual, normal) in [(11, 8), (13, 8), (3, 3), (1, 2), (16, 8), (3, 0), (0, 2)] {
        assert_eq!(Length::new(NoteValue::Eighth, 0, Some(Tuplet { actual, normal })), None, "{actual}:{normal}");
    }
}

#[test]
fn lengths_add_up_as_on_paper() {
    // Common practice of notation: a dot adds half, a second dot a quarter of the plain value.
    let ticks = |text: &str| text.parse::<Length>().unwrap().ticks();
    assert_eq!(ticks("1/4.").0, ticks("1/4").0 + ticks("1/8").0);
    assert_eq!(ticks("1/4..").0, ticks("1/4").0 + ticks("1/8").0 + ticks("1/16").0);
    assert_eq!(ticks("1/1"), Ticks::WHOLE);
    assert_eq!("6/8".parse::<Meter>().unwrap().ticks(), ticks("1/2."));
}

#[test]
fn lengths_meters_and_tempos_read_back_as_printed() {
    for length in lengths() {
        assert_eq!(length.to_string().parse(), Ok(length));
        if let Some(tempo) = Tempo::new(length, 92) {
            assert_eq!(tempo.to_string().parse(), Ok(tempo));
        }
    }
    for unit in NoteValue::ALL {
        for meter in (0..=u8::MAX).filter_map(|beats| Meter::new(beats, unit)) {
            assert_eq!(meter.to_string().parse(), Ok(meter));
        }
    }
}

#[test]
fn clocks_read_back_as_printed() {
    let times = [0, 1, 999, 1000, 59_999, 60_000, 61_500, 3_599_999, 3_600_000, 36_061_001, u32::MAX];
    for time in times.into_iter().map(VideoTime) {
        assert_eq!(time.exact().to_string().parse(), Ok(time));
        assert_eq!(VideoLength(time.0).exact().to_string().parse(), Ok(VideoLength(time.0)));
    }
    let read = |text: &str| text.parse::<VideoTime>().map(|time| time.0);
    assert_eq!(read("1:23.4"), Ok(83_400));
    assert_eq!(read(" 90 "), Ok(90_000));
    assert_eq!(read("100:00"), Ok(6_000_000));
    assert_eq!(VideoTime(3_723_004).exact().to_string(), "1:02:03.004");
}

#[test]
fn people_are_shown_tenths_of_a_second_at_most() {
    let shown = |time| VideoTime(time).to_string();
    assert_eq!([62_437, 62_450, 62_000, 62_970, 3_599_960].map(shown), ["1:02.4", "1:02.5", "1:02", "1:03", "1:00:00"]);
    assert!(!shown(u32::MAX).is_empty(), "no time is too late");
    let apart = |one, other| VideoTime(one).told_apart(VideoTime(other));
    assert_eq!(apart(62_437, 62_441), ("1:02.437".to_owned(), "1:02.441".to_owned()));
    assert_eq!(apart(62_437, 63_437), ("1:02.4".to_owned(), "1:03.4".to_owned()));
    assert_eq!(apart(62_437, 62_437), ("1:02.4".to_owned(), "1:02.4".to_owned()));
}

#[test]
fn what_is_no_time_is_refused_with_what_was_expected() {
    for text in ["", ":", "1:", "1:5", "1:60", "1:2:3:4", "-1", "+1", "1.2345", "1,5", "1:2O", "99999999999", "1:00."] {
        let error = text.parse::<VideoTime>().unwrap_err();
        assert_eq!(
            error.to_string(),
            format!("`{text}` is not a time: minutes and seconds, as in `1:23`, `1:23.4` or `1:02:03`")
        );
    }
    for text in ["", "1/3", "1/128", "1/4...", "1/8 3", "1/8 3:", "1/8 11:8", "4", "1/4 3:2:1", "1/+4"] {
        assert!(text.parse::<Length>().is_err(), "{text}");
    }
    for text in ["", "4", "0/4", "33/4", "4/3", "4/128", "4/4/4", "+4/4"] {
        assert!(text.parse::<Meter>().is_err(), "{text}");
    }
    for text in ["", "120", "1/4=9", "1/4=601", "1/8 3:2=120", "1/4=12O"] {
        assert!(text.parse::<Tempo>().is_err(), "{text}");
    }
}

#[test]
fn note_values_that_can_be_written_are_named_one_by_one() {
    let meter = "7/5".parse::<Meter>().unwrap_err().to_string();
    assert!(meter.contains("over 1, 2, 4, 8, 16, 32 or 64"), "{meter}");
    let length = "1/3".parse::<Length>().unwrap_err().to_string();
    assert!(length.contains("1/1, 1/2, 1/4, 1/8, 1/16, 1/32 or 1/64"), "{length}");
}

#[test]
fn instants_and_lengths_saturate() {
    assert_eq!(VideoTime(u32::MAX) + VideoLength(1), VideoTime(u32::MAX));
    assert_eq!(VideoLength::from_seconds(u32::MAX), VideoLength(u32::MAX));
    assert_eq!(VideoTime(5).since(VideoTime(6)), None);
}
