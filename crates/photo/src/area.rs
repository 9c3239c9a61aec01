//! Which part of a picture is cloth, and how it is brought upright.
//!
//! **Frame.** Pixels of the picture as it is looked at.

use crate::reading::Photo;

/// A rectangle of pixels.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Rect {
    /// Its left edge.
    pub x: usize,
    /// Its upper edge.
    pub y: usize,
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
}

impl Rect {
    /// The whole of a picture.
    #[must_use]
    pub fn whole(photo: &Photo) -> Self {
        Self {
            x: 0,
            y: 0,
            width: photo.width,
            height: photo.height,
        }
    }

    /// Whether it lies within the picture and has pixels.
    #[must_use]
    pub fn fits(&self, photo: &Photo) -> bool {
        let end = |from: usize, size: usize| from.checked_add(size);
        self.width > 0
            && self.height > 0
            && end(self.x, self.width).is_some_and(|end| end <= photo.width)
            && end(self.y, self.height).is_some_and(|end| end <= photo.height)
    }

    /// The part in the middle that is at most so large.
    pub(crate) fn middle(&self, width: usize, height: usize) -> Self {
        let (w, h) = (width.min(self.width), height.min(self.height));
        Self {
            x: self.x + (self.width - w) / 2,
            y: self.y + (self.height - h) / 2,
            width: w,
            height: h,
        }
    }
}

/// The part of a picture that shows the cloth.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Crop {
    /// All of it.
    Whole,
    /// A rectangle.
    Rect(Rect),
    /// The four corners of a rectangle of cloth that was seen aslant: upper left, upper
    /// right, lower right, lower left.
    Corners([[f64; 2]; 4]),
}

/// Most pixels a picture has after it was brought upright.
const MOST_UPRIGHT: f64 = 12e6;

/// The eight numbers of the perspective map from the unit square to four corners.
///
/// After Heckbert, "Fundamentals of Texture Mapping and Image Warping", UC Berkeley
/// 1989, 2.2.3: the square's corners (0,0), (1,0), (1,1), (0,1) go to the given ones in
/// that order. `None` if the corners do not turn the same way round all along.
pub(crate) fn from_square(corners: &[[f64; 2]; 4]) -> Option<[f64; 8]> {
    let turn = |i: usize| {
        let (a, b, c) = (corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]);
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    };
    if !(0..4).all(|i| turn(i) > 1.0) {
        return None;
    }
    let [p0, p1, p2, p3] = *corners;
    let sum = [p0[0] - p1[0] + p2[0] - p3[0], p0[1] - p1[1] + p2[1] - p3[1]];
    let d1 = [p1[0] - p2[0], p1[1] - p2[1]];
    let d2 = [p3[0] - p2[0], p3[1] - p2[1]];
    let below = d1[0] * d2[1] - d2[0] * d1[1];
    let g = (sum[0] * d2[1] - d2[0] * sum[1]) / below;
    let h = (d1[0] * sum[1] - sum[0] * d1[1]) / below;
    let map = [
        p1[0] - p0[0] + g * p1[0],
        p3[0] - p0[0] + h * p3[0],
        p0[0],
        p1[1] - p0[1] + g * p1[1],
        p3[1] - p0[1] + h * p3[1],
        p0[1],
        g,
        h,
    ];
    map.iter().all(|part| part.is_finite()).then_some(map)
}

pub(crate) fn mapped(map: &[f64; 8], u: f64, v: f64) -> [f64; 2] {
    let below = map[6] * u + map[7] * v + 1.0;
    [
        (map[0] * u + map[1] * v + map[2]) / below,
        (map[3] * u + map[4] * v + map[5]) / below,
    ]
}

/// What lies between four corners (upper left, upper right, lower right, lower left), seen
/// from straight above, so many pixels across and down. `None` if the corners do not go
/// round in that order, or no pixel is asked for.
#[must_use]
pub fn squared(photo: &Photo, corners: &[[f64; 2]; 4], size: [usize; 2]) -> Option<Photo> {
    let map = from_square(corners)?;
    let [width, height] = size;
    if width == 0 || height == 0 {
        return None;
    }
    let mut rgb = Vec::with_capacity(3 * width * height);
    for y in 0..height {
        for x in 0..width {
            let share = |at: usize, of: usize| (at as f64 + 0.5) / of as f64;
            let [px, py] = mapped(&map, share(x, width), share(y, height));
            let near = |at: f64, of: usize| (at.max(0.0) as usize).min(of - 1);
            rgb.extend(photo.pixel(near(px, photo.width), near(py, photo.height)));
        }
    }
    Some(Photo {
        width,
        height,
        rgb,
        notes: Vec::new(),
    })
}

/// The cloth between four corners, seen from straight above. `aspect`, height by width,
/// is that of the cloth; where it is not known, the sides' own lengths tell it.
pub(crate) fn upright(
    photo: &Photo,
    corners: &[[f64; 2]; 4],
    aspect: Option<f64>,
) -> Option<Photo> {
    let map = from_square(corners)?;
    let side = |i: usize| {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        (a[0] - b[0]).hypot(a[1] - b[1])
    };
    let mut width = side(0).max(side(2));
    let mut height = aspect.map_or_else(|| side(1).max(side(3)), |aspect| width * aspect);
    let shrink = (MOST_UPRIGHT / (width * height)).sqrt().min(1.0);
    width *= shrink;
    height *= shrink;
    let (w, h) = (
        width.round().max(1.0) as usize,
        height.round().max(1.0) as usize,
    );
    let mut rgb = Vec::with_capacity(3 * w * h);
    for y in 0..h {
        for x in 0..w {
            let (u, v) = ((x as f64 + 0.5) / w as f64, (y as f64 + 0.5) / h as f64);
            rgb.extend(between(photo, mapped(&map, u, v)));
        }
    }
    Some(Photo {
        width: w,
        height: h,
        rgb,
        notes: Vec::new(),
    })
}

/// The colour between pixel centres; beyond the edge that of the edge.
fn between(photo: &Photo, [x, y]: [f64; 2]) -> [u8; 3] {
    let (x, y) = (x - 0.5, y - 0.5);
    let inside = |v: f64, most: usize| (v.max(0.0) as usize).min(most - 1);
    let (x0, y0) = (
        inside(x.floor(), photo.width),
        inside(y.floor(), photo.height),
    );
    let (x1, y1) = (
        (x0 + 1).min(photo.width - 1),
        (y0 + 1).min(photo.height - 1),
    );
    let (fx, fy) = (
        (x - x0 as f64).clamp(0.0, 1.0),
        (y - y0 as f64).clamp(0.0, 1.0),
    );
    let mut mixed = [0.0; 3];
    for (px, py, share) in [
        (x0, y0, (1.0 - fx) * (1.0 - fy)),
        (x1, y0, fx * (1.0 - fy)),
        (x0, y1, (1.0 - fx) * fy),
        (x1, y1, fx * fy),
    ] {
        for (sum, part) in mixed.iter_mut().zip(photo.pixel(px, py)) {
            *sum += share * f64::from(part);
        }
    }
    mixed.map(|part| part.round().clamp(0.0, 255.0) as u8)
}
