//! Colours: two themes, and the published ramps for oil and shares.

/// Light for paper and sunlight, dark for a dim house.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// Dark ink on light paper.
    #[default]
    Light,
    /// Light ink on dark paper.
    Dark,
}

/// The colours of a theme.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Palette {
    pub paper: &'static str,
    pub lane: &'static str,
    pub gutter: &'static str,
    pub ink: &'static str,
    pub quiet: &'static str,
    pub grid: &'static str,
    pub accent: &'static str,
    pub casing: &'static str,
    pub pin: &'static str,
    pub traces: [&'static str; 4],
}

impl Theme {
    pub(crate) const fn palette(self) -> Palette {
        match self {
            Self::Light => Palette {
                paper: "#fbfaf6",
                lane: "#f3eee1",
                gutter: "#dfdbd1",
                ink: "#1d1b18",
                quiet: "#625e56",
                grid: "#bdb5a3",
                accent: "#00694b",
                casing: "#ffffff",
                pin: "#ffffff",
                traces: ["#16130f", "#00694b", "#7a1f6b", "#5a4a00"],
            },
            Self::Dark => Palette {
                paper: "#141416",
                lane: "#25231f",
                gutter: "#1b1b1d",
                ink: "#f3f0e9",
                quiet: "#aaa59b",
                grid: "#5b564c",
                accent: "#6fdcb2",
                casing: "#0b0b0c",
                pin: "#e6e2d9",
                traces: ["#ffffff", "#7fe8c0", "#f2b8e8", "#e8dc8c"],
            },
        }
    }
}

/// Dashes that tell traces apart without colour; the first is solid.
pub(crate) const DASHES: [&str; 4] = ["", "7 4", "2 3.5", "10 3 2 3"];

/// How strongly the accent may be laid on a lane so that ink on it still reads (contrast of 4.5, WCAG 2.2 AA).
pub(crate) const UNDER_INK: f64 = 0.42;

/// Ten even stops of inferno (S. van der Walt and N. Smith, 2015, public domain): perceptually even, readable by the
/// colour-blind, and far from the customary blue.
const INFERNO: [u32; 10] = [
    0x00_00_04, 0x1b_0c_42, 0x4b_0c_6b, 0x78_1c_6d, 0xa5_2c_60, 0xcf_44_46, 0xed_69_25, 0xfb_9a_06, 0xf7_d0_3c,
    0xfc_ff_a4,
];

/// Ten even stops of viridis (S. van der Walt, N. Smith and E. Firing, 2015, public domain).
const VIRIDIS: [u32; 10] = [
    0x44_01_54, 0x48_28_78, 0x3e_4a_89, 0x31_68_8e, 0x26_82_8e, 0x1f_9e_89, 0x35_b7_79, 0x6d_cd_59, 0xb4_de_2c,
    0xfd_e7_25,
];

/// The colour of a film at a share of the scale: more oil stands further from the bare lane, in both themes.
pub(crate) fn oil(theme: Theme, share: f64) -> String {
    let share = share.clamp(0.0, 1.0);
    match theme {
        Theme::Light => ramp(&INFERNO, 0.97 - 0.67 * share),
        Theme::Dark => ramp(&INFERNO, 0.28 + 0.69 * share),
    }
}

/// The colour of a share of throws.
pub(crate) fn share(share: f64) -> String {
    ramp(&VIRIDIS, share)
}

/// The arms of BrBG from the middle outward (C. Brewer, ColorBrewer, 2002, Apache licence): diverging, readable by the
/// colour-blind, and neither arm like the ramp of oil. Brown for oil gone, teal for oil laid down.
const GONE: [u32; 5] = [0xf6_e8_c3, 0xdf_c2_7d, 0xbf_81_2d, 0x8c_51_0a, 0x54_30_05];
const LAID: [u32; 5] = [0xc7_ea_e5, 0x80_cd_c1, 0x35_97_8f, 0x01_66_5e, 0x00_3c_30];

/// The colour of a change, -1 (gone) to 1 (laid down): more stands further from the bare lane, in both themes.
pub(crate) fn change(theme: Theme, part: f64) -> String {
    let arm = if part < 0.0 { &GONE } else { &LAID };
    match theme {
        Theme::Light => ramp(arm, part.abs()),
        Theme::Dark => ramp(arm, 1.0 - part.abs()),
    }
}

fn ramp(stops: &[u32], at: f64) -> String {
    let last = stops.len() - 1;
    let along = at.clamp(0.0, 1.0) * last as f64;
    let low = (along as usize).min(last - 1);
    let part = along - low as f64;
    let mix = |shift: u32| {
        let channel = |stop: u32| f64::from((stop >> shift) & 0xff);
        (channel(stops[low]) * (1.0 - part) + channel(stops[low + 1]) * part).round() as u8
    };
    format!("#{:02x}{:02x}{:02x}", mix(16), mix(8), mix(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Red, green and blue of `#rrggbb`, 0 to 1.
    fn channels(colour: &str) -> [f64; 3] {
        [1, 3, 5].map(|at| f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0)
    }

    /// Relative luminance of sRGB.
    fn luminance(channels: [f64; 3]) -> f64 {
        let [r, g, b] = channels.map(|v| if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    #[test]
    fn law_ink_reads_on_the_accent_laid_on_a_lane() {
        for theme in [Theme::Light, Theme::Dark] {
            let palette = theme.palette();
            let (accent, lane) = (channels(palette.accent), channels(palette.lane));
            for share in [0.0, 0.5, 1.0] {
                let part = share * UNDER_INK;
                let ground = luminance(std::array::from_fn(|k| part * accent[k] + (1.0 - part) * lane[k]));
                let ink = luminance(channels(palette.ink));
                let contrast = (ink.max(ground) + 0.05) / (ink.min(ground) + 0.05);
                assert!(contrast >= 4.5, "{theme:?} {share}: {contrast}");
            }
        }
    }

    /// Lightness CIE L* of `#rrggbb`.
    fn lightness(colour: &str) -> f64 {
        let y = luminance(channels(colour));
        if y > 0.008_856 { 116.0 * y.cbrt() - 16.0 } else { 903.3 * y }
    }

    #[test]
    fn law_more_is_steadily_darker_on_light_and_lighter_on_dark() {
        for (theme, sign) in [(Theme::Light, -1.0), (Theme::Dark, 1.0)] {
            for k in 0..20 {
                let at = |k: i32| lightness(&oil(theme, f64::from(k) / 20.0));
                let step = sign * (at(k + 1) - at(k));
                assert!((0.5..8.0).contains(&step), "{theme:?} {k}: {step}");
            }
        }
    }

    #[test]
    fn law_a_change_stands_out_the_more_the_larger_and_alike_both_ways() {
        for (theme, sign) in [(Theme::Light, -1.0), (Theme::Dark, 1.0)] {
            for k in 0..10 {
                let at = |k: i32, way: f64| lightness(&change(theme, way * f64::from(k) / 10.0));
                for way in [-1.0, 1.0] {
                    assert!(sign * (at(k + 1, way) - at(k, way)) > 1.0, "{theme:?} {k} {way}");
                }
                assert!((at(k + 1, 1.0) - at(k + 1, -1.0)).abs() < 6.0, "{theme:?} {k}");
            }
            // Apart on the axis from yellow to blue, which those who confuse red and green see.
            for k in 1..=10 {
                let bluer = |way: f64| {
                    let colour = change(theme, way * f64::from(k) / 10.0);
                    let channel = |at: usize| i32::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap());
                    channel(5) - channel(1)
                };
                assert!(bluer(1.0) > 0 && bluer(-1.0) < -40, "{theme:?} {k}");
            }
        }
    }

    #[test]
    fn law_oil_is_never_blue() {
        for theme in [Theme::Light, Theme::Dark] {
            for k in 0..=100 {
                let colour = oil(theme, f64::from(k) / 100.0);
                let channel = |at: usize| u8::from_str_radix(&colour[at..at + 2], 16).unwrap();
                assert!(channel(1) >= channel(5).saturating_sub(14), "{colour}");
            }
        }
    }
}
