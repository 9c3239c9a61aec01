//! Everything that is read off a photograph of cloth.

use quilt::colour;
use quilt::plan::{Colour, Direction, Print};

use crate::area::{Crop, Rect, upright};
use crate::direction::{self, Turned};
use crate::kind::{self, Clues};
use crate::lattice::{self, Lattice};
use crate::likeness::Likeness;
use crate::planes::{self, Plane};
use crate::reading::Photo;
use crate::scale::{self, Scale, ScaleFault};
use crate::shades::{self, Shade};
use crate::spectrum::Spectrum;
use crate::texture::Texture;

/// What the maker says about a picture.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Asked {
    /// Which part of it is cloth.
    pub crop: Crop,
    /// What in it has a known size.
    pub scale: Option<Scale>,
    /// A card of known lightness that lies in it, in the same light as the cloth.
    pub card: Option<Card>,
}

impl Default for Asked {
    /// All cloth, no scale, no card.
    fn default() -> Self {
        Self {
            crop: Crop::Whole,
            scale: None,
            card: None,
        }
    }
}

/// A card without colour, photographed with the cloth.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Card {
    /// A part of the picture that shows nothing else.
    pub area: Rect,
    /// Its L\*, over 0 up to 100.
    pub lightness: f64,
}

impl Card {
    /// L\* of a grey card that throws back 18 % of the light (CIE 15).
    pub const GREY: f64 = 49.5;
    /// L\* of matt white paper that throws back 88 % of the light; *common practice*.
    pub const WHITE: f64 = 95.2;
}

/// Why a picture was not measured. Its sentence says what would help.
#[derive(Clone, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum MeasureFault {
    /// The cloth is said to lie outside the picture: its pixels across and down.
    OutsideCloth(usize, usize),
    /// Fewer pixels of cloth than can be measured.
    TooSmall,
    /// The four corners do not go round clockwise from the upper left.
    Corners,
    /// The scale could not be found.
    Scale(ScaleFault),
    /// The card is said to lie outside the picture.
    CardOutside,
    /// The card's lightness is not between 0 and 100.
    CardLightness,
    /// The card is too bright or too dark in the picture to be read.
    CardBurnt,
    /// What is said to be the card is not of one colour.
    CardUneven,
}

impl std::fmt::Display for MeasureFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OutsideCloth(width, height) => write!(
                f,
                "the part said to be cloth lies outside the picture, which is {width} × {height} \
                 pixels"
            ),
            Self::TooSmall => write!(
                f,
                "too few pixels show the cloth: {SMALLEST} each way are the least; take the \
                 picture nearer"
            ),
            Self::Corners => {
                f.write_str("the four corners must go round clockwise, beginning at the upper left")
            }
            Self::Scale(fault) => write!(f, "the scale could not be found: {fault}"),
            Self::CardOutside => f.write_str("the card is said to lie outside the picture"),
            Self::CardLightness => f.write_str("the card's L* must be over 0 and at most 100"),
            Self::CardBurnt => f.write_str(
                "the card is burnt out or black in the picture; take it again with less or more \
                 light",
            ),
            Self::CardUneven => f.write_str(
                "what is said to be the card is not of one colour; give a part well inside it",
            ),
        }
    }
}

impl std::error::Error for MeasureFault {}

/// Fewest pixels of cloth each way.
const SMALLEST: usize = 32;

/// What was read off a photograph.
#[derive(Clone, PartialEq, Debug)]
pub struct Measured {
    /// Pixels an inch, where the scale is known. For cloth seen aslant, those of the
    /// upright picture.
    pub per_inch: Option<f64>,
    /// The part of the cloth that is shown, across and down, inches.
    pub size: Option<[f64; 2]>,
    /// How light it is.
    pub value: Lightness,
    /// The colour the eye takes from it: the mean of its light.
    pub colour: Colour,
    /// Its main colours, the commonest first.
    pub shades: Vec<Shade>,
    /// How much its colour changes within an eighth of an inch, ΔE (root mean square);
    /// needs the scale.
    pub busy: Option<f64>,
    /// What sort of print it is.
    pub print: Print,
    /// How sure that is: a half is a guess, one is sure.
    pub print_sure: f64,
    /// The usual distance from one figure or line of the print to the next.
    pub figure: Option<Spacing>,
    /// The smallest moves that lay the print upon itself: one for stripes, two for
    /// figures, none where no repeat shows.
    pub repeat: Vec<Step>,
    /// Which way up it may lie; `None` where too little of the print shows to tell.
    pub direction: Option<Direction>,
    /// How sure that is: a half is a guess, one is sure.
    pub direction_sure: f64,
    /// What should be known about these figures, in whole sentences.
    pub notes: Vec<String>,
}

/// How light a cloth is, L\* of CIELAB.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Lightness {
    /// Of the mean light it throws back.
    pub mean: f64,
    /// A tenth of the cloth is darker than this.
    pub low: f64,
    /// A tenth of it is lighter than this.
    pub high: f64,
    /// Whether a card in the picture makes it true; otherwise it compares only with
    /// cloths in the same picture or the same light.
    pub absolute: bool,
}

impl Lightness {
    /// The contrast inside the print.
    #[must_use]
    pub fn contrast(&self) -> f64 {
        self.high - self.low
    }
}

/// A distance on the cloth.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Spacing {
    /// Pixels of the picture.
    pub pixels: f64,
    /// Inches, where the scale is known.
    pub inches: Option<f64>,
}

/// A move that lays a print upon itself: x right, y down.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Step {
    /// Pixels of the picture.
    pub pixels: [f64; 2],
    /// Inches, where the scale is known.
    pub inches: Option<[f64; 2]>,
}

/// Measures the cloth in a picture.
///
/// # Errors
///
/// A [`MeasureFault`] whose words fit after the picture's name and a colon.
pub fn measure(photo: &Photo, asked: &Asked) -> Result<Measured, MeasureFault> {
    let gains = asked.card.map(|card| card_gains(photo, card)).transpose()?;
    let made;
    let (shown, part) = match asked.crop {
        Crop::Whole => (photo, Rect::whole(photo)),
        Crop::Rect(rect) if rect.fits(photo) => (photo, rect),
        Crop::Rect(_) => return Err(MeasureFault::OutsideCloth(photo.width, photo.height)),
        Crop::Corners(corners) => {
            made = straightened(photo, &corners, asked.scale)?;
            (&made, Rect::whole(&made))
        }
    };
    if part.width.min(part.height) < SMALLEST {
        return Err(MeasureFault::TooSmall);
    }
    let per_inch = asked
        .scale
        .map(|s| scale::per_inch(photo, &asked.crop, part.width, s))
        .transpose()
        .map_err(MeasureFault::Scale)?;
    let mut notes: Vec<String> = photo.notes.iter().map(|note| (*note).to_owned()).collect();
    let cloth = Cloth {
        photo: shown,
        part,
        gains: gains.unwrap_or([1.0; 3]),
        per_inch,
    };
    let coarse = cloth.looked(part, part.width.max(part.height).div_ceil(LOOK));
    cloth.burnt(gains.is_some(), &mut notes);
    let (value, colour) = lightness(&coarse, gains.is_some());
    uneven(&coarse.lab[0], &mut notes);
    let print = cloth.print(&coarse);
    if let Some(wave) = print
        .wavelength
        .filter(|w| *w > 0.25 * part.width.min(part.height) as f64)
    {
        notes.push(format!(
            "The print is large for the part shown ({:.0} figures across); a picture of more \
             cloth would tell it better.",
            (part.width as f64 / wave).floor()
        ));
    }
    let inches = |pixels: f64| per_inch.map(|per| pixels / per);
    let repeat = print.lattice.iter().flat_map(|lattice| &lattice.steps);
    Ok(Measured {
        per_inch,
        size: per_inch.map(|per| [part.width as f64 / per, part.height as f64 / per]),
        value,
        colour,
        shades: shades::shades(&coarse.lab),
        busy: cloth.busy(),
        print: print.kind,
        print_sure: print.kind_sure,
        figure: print.figure.map(|pixels| Spacing {
            pixels,
            inches: inches(pixels),
        }),
        repeat: repeat
            .map(|&pixels| Step {
                pixels,
                inches: per_inch.map(|per| pixels.map(|part| part / per)),
            })
            .collect(),
        direction: print.direction.map(|turned| turned.direction),
        direction_sure: print.direction.map_or(0.5, |turned| turned.sure),
        notes,
    })
}

/// Sides of the pictures looked at: fine enough for a repeat a twentieth as large. Half as
/// much again for moves fits into a transform of 512.
const LOOK: usize = 340;

fn straightened(
    photo: &Photo,
    corners: &[[f64; 2]; 4],
    scale: Option<Scale>,
) -> Result<Photo, MeasureFault> {
    let inside = |p: &[f64; 2]| {
        let within = |v: f64, most: usize| v >= 0.0 && v <= most as f64;
        within(p[0], photo.width) && within(p[1], photo.height)
    };
    if !corners.iter().all(inside) {
        return Err(MeasureFault::OutsideCloth(photo.width, photo.height));
    }
    upright(photo, corners, scale::aspect(scale)).ok_or(MeasureFault::Corners)
}

/// By how much the light of each part must be raised so that the card is what it is.
fn card_gains(photo: &Photo, card: Card) -> Result<[f64; 3], MeasureFault> {
    if !card.area.fits(photo) {
        return Err(MeasureFault::CardOutside);
    }
    if !(card.lightness > 0.0 && card.lightness <= 100.0) {
        return Err(MeasureFault::CardLightness);
    }
    let area = card.area;
    let mut levels = [[0_u32; 256]; 3];
    for y in area.y..area.y + area.height {
        for x in area.x..area.x + area.width {
            for (counts, part) in levels.iter_mut().zip(photo.pixel(x, y)) {
                counts[usize::from(part)] += 1;
            }
        }
    }
    let wanted = colour::light_of_lab([card.lightness, 0.0, 0.0])[1];
    let all = (area.width * area.height) as f64;
    let mut gains = [0.0; 3];
    for (gain, counts) in gains.iter_mut().zip(&levels) {
        let share = |from: usize, to: usize| f64::from(counts[from..=to].iter().sum::<u32>()) / all;
        if share(255, 255) > 0.02 || share(0, 2) > 0.02 {
            return Err(MeasureFault::CardBurnt);
        }
        // The middle eight tenths: dust, a thread and the noise of the camera stay out.
        let (mean, spread) = middle(counts, all);
        if spread > 0.35 * mean {
            return Err(MeasureFault::CardUneven);
        }
        *gain = wanted / mean;
    }
    Ok(gains)
}

/// Mean of the middle eight tenths of the light, and how wide they spread.
fn middle(counts: &[u32; 256], all: f64) -> (f64, f64) {
    let (low, high) = (0.1 * all, 0.9 * all);
    let (mut before, mut sum, mut weight) = (0.0, 0.0, 0.0);
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for (level, &count) in (0..=u8::MAX).zip(counts) {
        let after = before + f64::from(count);
        let inside = after.min(high) - f64::max(before, low);
        if inside > 0.0 {
            let light = colour::light(level);
            (sum, weight) = (sum + inside * light, weight + inside);
            (least, most) = (least.min(light), most.max(light));
        }
        before = after;
    }
    (sum / f64::max(weight, 1e-9), most - least)
}

/// The part of a picture that is cloth.
struct Cloth<'a> {
    photo: &'a Photo,
    part: Rect,
    gains: [f64; 3],
    per_inch: Option<f64>,
}

/// One look at some of the cloth.
struct Look {
    light: [Plane; 3],
    lab: [Plane; 3],
    /// Pixels of the picture in one of these, each way.
    by: usize,
}

/// The print as far as it was made out.
struct PrintRead {
    kind: Print,
    kind_sure: f64,
    wavelength: Option<f64>,
    figure: Option<f64>,
    lattice: Option<Lattice>,
    direction: Option<Turned>,
}

/// A print at one reduction of the picture.
struct Level {
    texture: Texture,
    spectrum: Spectrum,
}

impl Cloth<'_> {
    fn looked(&self, part: Rect, by: usize) -> Look {
        let mut light = planes::light(self.photo, part, by);
        for (plane, gain) in light.iter_mut().zip(self.gains) {
            plane.data.iter_mut().for_each(|v| *v *= gain as f32);
        }
        Look {
            lab: planes::lab(&light, [1.0; 3]),
            light,
            by,
        }
    }

    fn level(&self, look: &Look) -> Level {
        let texture = Texture::of(&look.lab, look.by);
        let spectrum = Spectrum::of(&texture);
        Level { texture, spectrum }
    }

    /// A coarse look at all of it, then finer ones at its middle, down to the pixels.
    fn levels(&self, coarse: &Look) -> Vec<Level> {
        let mut levels = vec![self.level(coarse)];
        let mut by = coarse.by;
        while by > 1 {
            by = (by / 3).max(1);
            let part = self.part.middle(LOOK * by, LOOK * by);
            levels.push(self.level(&self.looked(part, by)));
        }
        levels
    }

    /// What the print is, from the look at which it varies most in figures neither too
    /// small for that look nor too large.
    fn print(&self, coarse: &Look) -> PrintRead {
        let levels = self.levels(coarse);
        let strength = |level: &Level| {
            let extent = level.texture.width.min(level.texture.height) as f64;
            level.spectrum.between(7.0, extent / 5.0)
        };
        let mut best = 0;
        for (i, level) in levels.iter().enumerate() {
            // A finer look must show clearly more, for it shows less of the cloth.
            if strength(level) > 1.3 * strength(&levels[best]) {
                best = i;
            }
        }
        let Level { texture, spectrum } = &levels[best];
        let extent = texture.width.min(texture.height);
        let likeness = Likeness::of(texture);
        let spread = (texture.power * likeness.signal).sqrt();
        let figures = texture.figures();
        let wavelength = Spectrum::of(&figures)
            .wavelength(extent)
            .filter(|_| spread >= kind::PLAIN)
            .map(|rough| between_figures(&figures, rough));
        let Some(wave) = wavelength else {
            return PrintRead {
                kind: Print::Plain,
                kind_sure: kind::plain_sure(spread),
                wavelength: None,
                figure: None,
                lattice: None,
                direction: (spread < kind::PLAIN).then_some(Turned {
                    direction: Direction::Free,
                    sure: 1.0,
                }),
            };
        };
        let stripes = lattice::along_stripes(&likeness, wave);
        let striped = stripes.is_some();
        let found = lattice::lattice(&likeness, wave, stripes);
        let guess = kind::guess(
            &Clues {
                texture,
                spectrum,
                likeness: &likeness,
                lattice: found.as_ref(),
                striped,
                wavelength: wave,
            },
            spread,
        );
        // A larger repeat of the same figures shows only when more of the cloth is seen.
        let wider = (best > 0 && found.is_none()).then(|| {
            let level = &levels[best - 1];
            let wave = wave * texture.by / level.texture.by;
            lattice::lattice(&Likeness::of(&level.texture), wave, None)
                .map(|lattice| in_pixels(lattice, level.texture.by))
        });
        let spacing = spacing(guess.print, wave, found.as_ref());
        let lattice = found
            .map(|lattice| in_pixels(lattice, texture.by))
            .or(wider.flatten());
        PrintRead {
            kind: guess.print,
            kind_sure: guess.sure,
            wavelength: Some(wave * texture.by),
            figure: Some(spacing * texture.by),
            lattice,
            direction: direction::turned(texture, wave),
        }
    }

    /// Says where light is lost for good.
    fn burnt(&self, card: bool, notes: &mut Vec<String>) {
        let step = (self.part.width * self.part.height / 200_000).max(1);
        let (mut bright, mut dark, mut all) = (0_u32, 0_u32, 0_u32);
        for i in (0..self.part.width * self.part.height).step_by(step) {
            let (x, y) = (i % self.part.width, i / self.part.width);
            let pixel = self.photo.pixel(self.part.x + x, self.part.y + y);
            all += 1;
            bright += u32::from(pixel.contains(&255));
            dark += u32::from(pixel.iter().all(|&part| part < 3));
        }
        let percent = |some: u32| 100 * some / all.max(1);
        if percent(bright) >= 2 {
            notes.push(format!(
                "{} % of the cloth is burnt out in the picture: the true value is lighter.",
                percent(bright)
            ));
        }
        if percent(dark) >= 10 {
            notes.push(format!(
                "{} % of the cloth is black in the picture: dark differences are lost.",
                percent(dark)
            ));
        }
        if !card {
            notes.push(
                "No white or grey card lies in the picture: the value is relative, good only \
                 beside cloths in the same light."
                    .into(),
            );
        }
    }

    /// The change of colour within an eighth of an inch, across and down together.
    fn busy(&self) -> Option<f64> {
        let eighth = self.per_inch? / 8.0;
        // Half a dozen pixels to an eighth of an inch are enough, and keep noise out.
        let by = ((eighth / 6.0).floor() as usize).max(1);
        // The middle of the cloth is enough for a mean.
        let look = self.looked(self.part.middle(LOOK / 2 * by, LOOK / 2 * by), by);
        let step = (eighth / by as f64).round().max(1.0) as usize;
        let (w, h) = (look.lab[0].width, look.lab[0].height);
        if w <= step || h <= step {
            return None;
        }
        let (mut sum, mut many) = (0.0, 0.0);
        for y in 0..h - step {
            for x in 0..w - step {
                for plane in &look.lab {
                    let here = plane.at(x, y);
                    let right = f64::from(plane.at(x + step, y) - here);
                    let below = f64::from(plane.at(x, y + step) - here);
                    sum += right * right + below * below;
                }
                many += 2.0;
            }
        }
        Some((sum / many).sqrt())
    }
}

fn in_pixels(lattice: Lattice, by: f64) -> Lattice {
    Lattice {
        steps: lattice
            .steps
            .iter()
            .map(|s| s.map(|part| part * by))
            .collect(),
        ..lattice
    }
}

/// A distance this near to another is the same, as a share.
const SAME: f64 = 0.12;

/// The usual distance between figures: where a repeat holds one figure or two, that of the
/// repeat, which is measured far more exactly; otherwise as found from the figures.
fn spacing(print: Print, rough: f64, lattice: Option<&Lattice>) -> f64 {
    match lattice.map(|lattice| lattice.steps.as_slice()) {
        Some([one]) => one[0].hypot(one[1]),
        Some([a, b]) => {
            let cell = (a[0] * b[1] - a[1] * b[0]).abs().sqrt();
            if matches!(print, Print::Stripe | Print::Plaid) {
                return cell;
            }
            let shared = [cell, cell * std::f64::consts::FRAC_1_SQRT_2];
            let same = |one: &f64| (one / rough - 1.0).abs() < SAME;
            shared.into_iter().find(same).unwrap_or(rough)
        }
        _ => rough,
    }
}

/// The distance between figures in a print whose wavelength is about known, by the ring
/// of neighbours round every figure.
fn between_figures(figures: &Texture, wavelength: f64) -> f64 {
    // Twenty pixels to a wavelength tell it to a fiftieth.
    let step = (wavelength / 20.0).max(1.0);
    let side = figures.width.max(figures.height);
    let ring = Likeness::of(&figures.scaled(step, side)).ring();
    ring.map_or(wavelength, |ring| ring * step)
}

/// The mean light as L\*, the tenths at both ends, and the mean as a colour.
fn lightness(look: &Look, absolute: bool) -> (Lightness, Colour) {
    let mean = [0, 1, 2].map(|part| look.light[part].mean());
    let lab = colour::lab_of_light(mean);
    let mut all = look.lab[0].data.clone();
    let tenth = all.len() / 10;
    let last = all.len() - 1;
    let mut at = |place: usize| {
        let (_, value, _) = all.select_nth_unstable_by(place, f32::total_cmp);
        f64::from(*value)
    };
    let (low, high) = (at(tenth), at(last - tenth));
    let [red, green, blue] = mean.map(colour::coded);
    let value = Lightness {
        mean: lab[0],
        low,
        high,
        absolute,
    };
    (value, Colour { red, green, blue })
}

/// Differences in light over the picture below this go unsaid, L\*.
const EVEN: f64 = 4.0;

/// Says when the light falls off over the picture: between the ninths of it.
fn uneven(lightness: &Plane, notes: &mut Vec<String>) {
    let (w, h) = (lightness.width, lightness.height);
    let mut means = Vec::new();
    for (i, j) in (0..9).map(|k| (k % 3, k / 3)) {
        let (xs, ys) = (i * w / 3..(i + 1) * w / 3, j * h / 3..(j + 1) * h / 3);
        let many = (xs.len() * ys.len()).max(1) as f64;
        let rows = ys.map(|y| {
            xs.clone()
                .map(|x| f64::from(lightness.at(x, y)))
                .sum::<f64>()
        });
        means.push(rows.sum::<f64>() / many);
    }
    let least = means.iter().copied().fold(f64::INFINITY, f64::min);
    let most = means.iter().copied().fold(0.0, f64::max);
    if most - least > EVEN {
        notes.push(format!(
            "The light is uneven, or the print is large: some parts of the picture are L* {:.0} \
             lighter than others.",
            most - least
        ));
    }
}

/// The cloth alone, upright and in true light: what a plan refers to, so that whoever
/// paints with it need not be told of corners and cards again.
///
/// # Errors
///
/// As [`measure`].
pub fn swatch(photo: &Photo, asked: &Asked) -> Result<Photo, MeasureFault> {
    let gains = asked.card.map(|card| card_gains(photo, card)).transpose()?;
    let mut cut = match asked.crop {
        Crop::Whole => photo.clone(),
        Crop::Rect(rect) if rect.fits(photo) => cut_out(photo, rect),
        Crop::Rect(_) => return Err(MeasureFault::OutsideCloth(photo.width, photo.height)),
        Crop::Corners(corners) => straightened(photo, &corners, asked.scale)?,
    };
    if let Some(gains) = gains {
        let tables = gains.map(|gain| {
            let code = |level: u8| colour::coded(colour::light(level) * gain);
            (0..=u8::MAX).map(code).collect::<Vec<u8>>()
        });
        for pixel in cut.rgb.chunks_exact_mut(3) {
            for (part, table) in pixel.iter_mut().zip(&tables) {
                *part = table[usize::from(*part)];
            }
        }
    }
    Ok(cut)
}

fn cut_out(photo: &Photo, rect: Rect) -> Photo {
    let rows = rect.y..rect.y + rect.height;
    let rgb = rows.flat_map(|y| {
        let from = 3 * (y * photo.width + rect.x);
        photo.rgb[from..from + 3 * rect.width].iter().copied()
    });
    Photo {
        width: rect.width,
        height: rect.height,
        rgb: rgb.collect(),
        notes: Vec::new(),
    }
}
