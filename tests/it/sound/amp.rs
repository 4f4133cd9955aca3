//! The amplifier: what clipping adds belongs there, and what the sample rate would add does not.

use fingerpost::sound::level::Strength;
use fingerpost::sound::score::SoundedNote;
use fingerpost::sound::sounds::Decibels;
use fingerpost::sound::sounds::{Filter, Sound, sounds};
use fingerpost::sound::synthesis::amp::Amp;
use fingerpost::sound::synthesis::filter::Biquad;
use fingerpost::sound::synthesis::oversampling::HalfBand;
use fingerpost::theory::pitch::Hertz;

use super::estimator::strength;
use super::{DISC, RATE, between, decibels, heard, note, sound, tempered};

fn sine(hertz: f64, level: f64, seconds: f64) -> Vec<f32> {
    let rate = f64::from(RATE);
    let wave = |place: f64| level * (std::f64::consts::TAU * hertz * place / rate).sin();
    (0..(seconds * rate) as usize).map(|place| wave(place as f64) as f32).collect()
}

#[test]
fn two_strings_through_one_amplifier_make_their_sum_and_difference() {
    let [low, high] = [tempered(45.0, 440.0), tempered(50.3, 440.0)];
    let both = || vec![note(0, 0.0, 45.0, 1.2), note(1, 0.0, 50.3, 1.2)];
    let between_tones = |sound: &Sound, hertz: f64| {
        let samples = heard(sound, both());
        let steady = between(&samples, 0.1, 1.1);
        decibels(strength(steady, f64::from(RATE), hertz) / strength(steady, f64::from(RATE), high))
    };
    for hertz in [low + high, 2.0 * high - low] {
        let (clean, driven) = (between_tones(sound("clean"), hertz), between_tones(sound("overdriven"), hertz));
        assert!(driven > -30.0 && clean < -60.0, "{hertz} Hz: {driven} dB driven, {clean} dB clean");
    }
}

#[test]
fn a_tone_overdriven_as_far_as_can_be_folds_nothing_back_that_is_heard() {
    let driven = sound("overdriven");
    // Rates, twice and four times; 1318.51 Hz is E6. Folded tones lie beside the partials: the loudest is looked for.
    for (hertz, most) in [(220.0, -90.0), (659.26, -90.0), (1318.51, -90.0)] {
        let mut samples = sine(hertz, 0.5, 0.6);
        Amp::new(driven, DISC).process(&mut samples);
        let steady = &samples[RATE as usize / 10..];
        let lowest = strength(steady, f64::from(RATE), hertz);
        let mut loudest = 0.0_f64;
        for harmonic in 2..(8.0 * f64::from(RATE) / hertz) as u32 {
            let made = hertz * f64::from(harmonic);
            let times = (made / f64::from(RATE)).round();
            let folded = (made - times * f64::from(RATE)).abs();
            let beside = (folded / hertz - (folded / hertz).round()).abs() * hertz;
            // What folds onto a partial cannot be told from it.
            if times > 0.0 && folded < 16_000.0 && beside > 12.0 {
                loudest = loudest.max(strength(steady, f64::from(RATE), folded));
            }
        }
        let below = decibels(loudest / lowest);
        assert!(below < most, "{hertz} Hz: {below} dB");
    }
}

#[test]
fn twice_the_samples_and_back_leave_what_is_heard_alone() {
    for (hertz, most) in [(50.0, 0.01), (1000.0, 0.01), (8000.0, 0.01), (15_000.0, 0.3)] {
        let (mut up, mut down) = (HalfBand::default(), HalfBand::default());
        let through: Vec<f32> = sine(hertz, 0.5, 0.2).into_iter().map(|sample| down.down(up.up(sample))).collect();
        let off = decibels(strength(&through[2000..], f64::from(RATE), hertz) / 0.5);
        assert!(off.abs() < most, "{hertz} Hz: {off} dB");
    }
    // One way up: the mirror image above the old half of the rate is gone.
    let mut up = HalfBand::default();
    let twice: Vec<f32> = sine(5000.0, 0.5, 0.2).into_iter().flat_map(|sample| up.up(sample)).collect();
    let image = f64::from(RATE) - 5000.0;
    let below = decibels(strength(&twice[4000..], 2.0 * f64::from(RATE), image) / 0.5);
    assert!(below < -75.0, "{below} dB");
}

#[test]
fn filters_of_the_tone_do_what_their_numbers_say() {
    // By definition: a peak has its height at its frequency; cuts with q of a root of one half are 3 dB down at theirs.
    let root = std::f64::consts::FRAC_1_SQRT_2;
    for (filter, hertz, meant) in [
        (Filter::Peak { hz: Hertz(1000.0), db: Decibels(6.0), q: 1.0 }, 1000.0, 6.0),
        (Filter::Peak { hz: Hertz(1000.0), db: Decibels(6.0), q: 1.0 }, 30.0, 0.0),
        (Filter::HighShelf { hz: Hertz(800.0), db: Decibels(6.0) }, 15_000.0, 6.0),
        (Filter::HighShelf { hz: Hertz(800.0), db: Decibels(6.0) }, 800.0, 3.0),
        (Filter::HighShelf { hz: Hertz(800.0), db: Decibels(6.0) }, 40.0, 0.0),
        (Filter::LowCut { hz: Hertz(100.0), q: root }, 100.0, -3.01),
        (Filter::LowCut { hz: Hertz(400.0), q: root }, 100.0, -24.1),
        (Filter::HighCut { hz: Hertz(4000.0), q: root }, 4000.0, -3.01),
        (Filter::HighCut { hz: Hertz(4000.0), q: root }, 200.0, 0.0),
    ] {
        let mut biquad = Biquad::new(filter, DISC);
        let through: Vec<f32> =
            sine(hertz, 0.5, 0.5).into_iter().map(|sample| biquad.next(f64::from(sample)) as f32).collect();
        let found = decibels(strength(&through[8000..], f64::from(RATE), hertz) / 0.5);
        assert!((found - meant).abs() < 0.1, "{filter:?} at {hertz} Hz: {found} dB");
    }
}

#[test]
fn between_the_samples_the_peaks_stay_below_full_scale() {
    // The ceiling of -1 dB is for samples; the wave between them may rise above it, and must not pass full scale.
    for sound in sounds() {
        let strings = (0..12).map(|string| SoundedNote {
            strength: Strength(1.0),
            ..note(string, 0.0, 38.0 + 4.0 * string as f64, 0.5)
        });
        let samples = heard(sound, strings.collect());
        let [mut up, mut again] = [HalfBand::default(), HalfBand::default()];
        let between = samples.iter().flat_map(|sample| up.up(*sample)).flat_map(|half| again.up(half));
        let peak = between.fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
        assert!(peak < 1.0, "{}: {peak}", sound.name);
    }
}
