//! Measures frequencies: the length after which a wave repeats, and the strength and phase of single partials.

use std::f64::consts::TAU;

/// The frequency of a periodic wave in Hz, `samples` at `rate`, between 20 Hz and 10 kHz.
///
/// First the period is found as YIN finds it: the first minimum below 0.1 of the difference function over its mean so far
/// (de Cheveigné & Kawahara, JASA 111 (2002), eq. 8). Then it is measured over as many periods as fit half the
/// samples: where n periods repeat best, between the samples of the correlation (a parabola through three), is n times
/// the period. All partials count, the strong ones most.
pub fn frequency(samples: &[f32], rate: f64) -> Option<f64> {
    let samples: Vec<f64> = samples.iter().map(|sample| f64::from(*sample)).collect();
    let mut period = first_period(&samples, rate)?;
    let half = samples.len() as f64 / 2.0;
    let mut times = 1.0;
    loop {
        // Twice as many periods each time: the guess is always good to a part of a sample.
        period = refined(&samples, (period * times).round() as usize)? / times;
        if period * times * 2.0 > half {
            return Some(rate / period);
        }
        times *= 2.0;
    }
}

fn first_period(samples: &[f64], rate: f64) -> Option<f64> {
    let longest = (rate / 20.0) as usize;
    let window = samples.len().checked_sub(longest)?.min(1200);
    let mut sum = 0.0;
    let mut lowest: Option<(usize, f64)> = None;
    for lag in 2..longest {
        let difference: f64 =
            samples[..window].iter().zip(&samples[lag..]).step_by(2).map(|(a, b)| (a - b) * (a - b)).sum();
        sum += difference;
        let share = difference * lag as f64 / sum;
        match lowest {
            Some((_, least)) if share < least => lowest = Some((lag, share)),
            Some((lag, _)) => return Some(lag as f64),
            None if share < 0.1 => lowest = Some((lag, share)),
            None => {}
        }
    }
    None
}

/// Where near `lag` the samples repeat best.
fn refined(samples: &[f64], lag: usize) -> Option<f64> {
    let like = |lag: usize| {
        let late = samples.get(lag..)?;
        let [mut product, mut early_power, mut late_power] = [0.0; 3];
        for (a, b) in samples.iter().zip(late).take(samples.len() / 2) {
            product += a * b;
            early_power += a * a;
            late_power += b * b;
        }
        Some(product / (early_power * late_power).sqrt())
    };
    let mut middle = lag;
    let mut values = [like(lag - 1)?, like(lag)?, like(lag + 1)?];
    for _ in 0..8 {
        if values[0] > values[1] && values[0] > values[2] {
            middle -= 1;
            values = [like(middle - 1)?, values[0], values[1]];
        } else if values[2] > values[1] {
            middle += 1;
            values = [values[1], values[2], like(middle + 1)?];
        } else {
            break;
        }
    }
    let bend = values[0] - 2.0 * values[1] + values[2];
    Some(middle as f64 + (values[0] - values[2]) / (2.0 * bend))
}

/// The amplitude of what sounds at `hertz`, by a Blackman window over all samples.
pub fn strength(samples: &[f32], rate: f64, hertz: f64) -> f64 {
    let [real, imaginary] = turned(samples, rate, hertz, 0.0);
    // The mean of the window is 0.42, and a sine has half of its amplitude on either side.
    2.0 * real.hypot(imaginary) / (0.42 * samples.len() as f64)
}

/// The exact frequency of what sounds near `hertz`: how far its phase gets between two windows.
pub fn partial(samples: &[f32], rate: f64, hertz: f64) -> f64 {
    let window = samples.len() * 2 / 3;
    let gap = samples.len() - window;
    let [a, b] = turned(&samples[..window], rate, hertz, 0.0);
    let [c, d] = turned(&samples[gap..], rate, hertz, gap as f64);
    let turn = (a * d - b * c).atan2(a * c + b * d);
    hertz + turn / TAU * rate / gap as f64
}

fn turned(samples: &[f32], rate: f64, hertz: f64, offset: f64) -> [f64; 2] {
    let length = samples.len() as f64;
    let mut sum = [0.0; 2];
    for (place, sample) in samples.iter().enumerate() {
        let share = TAU * place as f64 / length;
        let window = 0.42 - 0.5 * share.cos() + 0.08 * (2.0 * share).cos();
        let angle = TAU * hertz * (place as f64 + offset) / rate;
        sum[0] += f64::from(*sample) * window * angle.cos();
        sum[1] -= f64::from(*sample) * window * angle.sin();
    }
    sum
}

/// How far one frequency is from another, in cents.
pub fn cents(heard: f64, meant: f64) -> f64 {
    1200.0 * (heard / meant).log2()
}

#[test]
fn the_estimator_finds_the_frequency_of_made_waves() {
    for hertz in [30.868, 82.407, 439.0, 440.0, 441.3, 1318.51, 6592.6] {
        let wave = |place: usize| {
            let phase = TAU * hertz * place as f64 / 44_100.0;
            (0.6 * phase.sin() + 0.3 * (2.0 * phase + 0.4).sin() + 0.1 * (3.0 * phase + 1.0).sin()) as f32
        };
        let samples: Vec<f32> = (0..20_000).map(wave).collect();
        let found = frequency(&samples, 44_100.0).unwrap();
        assert!(cents(found, hertz).abs() < 0.02, "{hertz}: {found}");
        let found = partial(&samples, 44_100.0, hertz * 1.0002);
        assert!(cents(found, hertz).abs() < 0.02, "{hertz}: {found}");
        assert!((strength(&samples, 44_100.0, hertz) - 0.6).abs() < 0.01, "{hertz}");
    }
}
