//! What spec sheets say of screens, projectors and displays.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    Angle, Common, DataRate, Length, Level, Luminance, LuminousFlux, Ratio, Side, Temperature,
};

/// A projection screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ScreenKit {
    /// Facts that every entry may have; `size` is the outside size where the maker states it.
    #[serde(flatten)]
    pub common: Common,
    /// Width to height, as `16:9` or `2.39`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aspect: Option<Ratio>,
    /// The picture's diagonal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diagonal: Option<Length>,
    /// The picture's width.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture_width: Option<Length>,
    /// The frame's width on each side of the picture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub frame: Option<Length>,
    /// Luminance factor on the axis against a white diffuser.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gain: Option<Ratio>,
    /// Angle at which the gain has fallen to half.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half_gain_angle: Option<Angle>,
    /// How it is built; a fixed frame when left out. All are flat: curved cloth has no form here,
    /// since throw, focus, shift and light hold for flat pictures.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub form: Option<ScreenForm>,
    /// A drop-down screen's case: width, height and depth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub case: Option<[Length; 3]>,
    /// A drop-down screen: black cloth between its case and the picture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub black_drop: Option<Length>,
    /// A drop-down screen: from the picture down to the lower edge of its weight bar; its frame's
    /// width when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tail: Option<Length>,
    /// From the wall to the cloth, also of a screen that hangs from the ceiling before the wall.
    /// When left out: the middle of a drop-down screen's case, else the
    /// mount and the frame's depth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cloth_off: Option<Length>,
    /// Whether its cloth lets sound through.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound_through: Option<bool>,
    /// The least free depth between the front of a loudspeaker and the cloth before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_gap: Option<Length>,
    /// Which of its edges masks can move in; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub masks: Option<Masks>,
    /// The holes of the rail that it hangs on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rail: Option<Rail>,
    /// Luminance factor for room light from all around: that of its gain when left out, less
    /// on a grey or layered screen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ambient_reflectance: Option<Ratio>,
}

/// How a screen is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ScreenForm {
    /// Cloth in a frame on the wall.
    FixedFrame,
    /// Rolls down out of a case.
    DropDown,
    /// Rolls down out of a case, with cords at its sides that keep it flat.
    TabTensioned,
}

/// Edges of a screen that masks can move in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Masks {
    /// Left and right: pictures of every aspect are as high as the screen.
    Sides,
    /// Above and below: pictures of every aspect are as wide as the screen.
    TopAndBottom,
    /// All four.
    All,
}

/// A rail on the wall that a screen hangs on, with its row of holes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Rail {
    /// From end to end; it lies in the middle of the screen's width.
    pub length: Length,
    /// From its left end to the first hole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first: Option<Length>,
    /// From one hole to the next; a slot from end to end when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pitch: Option<Length>,
    /// From the screen's upper edge down to the row of holes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_top: Option<Length>,
    /// Diameter of its screws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screw: Option<Length>,
}

/// A projector.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ProjectorKit {
    /// Facts that every entry may have; `size` is the case.
    #[serde(flatten)]
    pub common: Common,
    /// Throw ratio at the wide and at the long end of the zoom: distance from the lens over picture width.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub throw: Option<[Ratio; 2]>,
    /// How far the lens can be shifted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shift: Option<LensShift>,
    /// Built-in offset of the picture: from the lens axis to the picture's far edge, in per cent
    /// of its height. 100 puts the axis level with the near edge, 50 at its middle. The picture
    /// lies above the axis when the projector stands, below when it hangs. None when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offset: Option<f64>,
    /// The nearest and the farthest distance from the lens at which its picture is sharp.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub focus: Option<[Length; 2]>,
    /// The lens' middle from the case's middle, to the right as seen from behind; centred when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lens_right: Option<Length>,
    /// The lens from the case's middle towards the screen; in the front face when left out. Where
    /// a mirror throws the picture from close by, it lies behind the middle: write it with a minus.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lens_forward: Option<Length>,
    /// The lens' middle above the case's underside as the case hangs or stands; half the height when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lens_up: Option<Length>,
    /// Width of the front lens; about 60 mm when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lens_diameter: Option<Length>,
    /// Light out in its brightest mode.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lumens: Option<LuminousFlux>,
    /// The accurate picture mode's share of that light.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode_share: Option<Ratio>,
    /// The share of light left at the long end of the zoom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zoom_share: Option<Ratio>,
    /// White over black with nothing else lit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub native_contrast: Option<f64>,
    /// Picture elements across and down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resolution: Option<[u32; 2]>,
    /// A-weighted level at 1 m in the mode used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub noise: Option<Level>,
    /// Level at 1 m by octave, 63 Hz to 8 kHz, in the mode used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub noise_octaves: Option<[Level; 8]>,
    /// Free space that the maker asks for behind the case, cables not counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rear_clearance: Option<Length>,
    /// Free space that the maker asks for on each side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side_clearance: Option<Length>,
    /// The side on which hot air leaves, seen from behind; that side asks for `exhaust_clearance`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exhaust: Option<Side>,
    /// Free space before the exhaust.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exhaust_clearance: Option<Length>,
    /// Depth of plugs and the bend of their cables behind the case.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plug_depth: Option<Length>,
    /// The highest data rate that its video input takes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub video_rate: Option<DataRate>,
    /// Copy protection version that it answers to, as `2.2`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<String>,
}

/// How far a lens shifts the picture, as its spec sheet prints it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LensShift {
    /// Per cent upwards, and downwards when `down` is left out.
    pub up: f64,
    /// Per cent downwards.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub down: Option<f64>,
    /// Per cent to each side.
    pub across: f64,
    /// What the percentages are of.
    pub of: ShiftOf,
    /// How both may be used together; a diamond, the strictest, when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub joint: Option<ShiftJoint>,
    /// Instead of `joint`: points read off the maker's chart, as pairs of per cent across and up,
    /// from all across, `[40, 0]`, to all up, `[0, 85]`; straight lines join them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chart: Option<Vec<[f64; 2]>>,
}

/// What a printed lens shift is a percentage of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ShiftOf {
    /// The whole picture: 50 % puts the lens level with the edge.
    Picture,
    /// Half the picture: 100 % puts the lens level with the edge.
    HalfPicture,
}

/// Shape of the region of vertical and horizontal shift that can be had together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ShiftJoint {
    /// Both limits at once.
    Rectangle,
    /// Straight lines between the ends of both limits.
    Diamond,
    /// An ellipse through the ends of both limits.
    Ellipse,
}

/// A flat display.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DisplayKit {
    /// Facts that every entry may have; `size` is the outside without its feet.
    #[serde(flatten)]
    pub common: Common,
    /// The picture's diagonal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diagonal: Option<Length>,
    /// Width to height; 16:9 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aspect: Option<Ratio>,
    /// Picture elements across and down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resolution: Option<[u32; 2]>,
    /// Full white over the whole panel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub luminance: Option<Luminance>,
    /// White over black with nothing else lit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub native_contrast: Option<f64>,
    /// The share of light that its front mirrors; about 0.04 when glossy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mirrors: Option<Ratio>,
    /// The share of light from all around that its front gives back without mirroring it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ambient_reflectance: Option<Ratio>,
    /// Its protection against dust and water, as `IP55`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weather: Option<String>,
    /// The lowest surrounding temperature that it is rated for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_from: Option<Temperature>,
    /// The angle off its axis up to which colour and contrast hold.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cone: Option<Angle>,
    /// Mounting holes, across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holes: Option<[Length; 2]>,
    /// The highest data rate that its video input takes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub video_rate: Option<DataRate>,
    /// Copy protection version that it answers to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<String>,
}
