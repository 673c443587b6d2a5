//! The catalogue: what spec sheets say of each thing that may be fitted.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    Angle, Control, Current, DataRate, Duration, Force, Frequency, Impedance, Length, Level,
    Luminance, LuminousFlux, Mass, Port, Power, Ratio, Side, Temperature, Voltage, WireSize,
};

/// Every catalogue entry, by kind: `[[kit.projector]]`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Catalogue {
    /// Projection screens.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub screen: Vec<ScreenKit>,
    /// Projectors.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub projector: Vec<ProjectorKit>,
    /// Flat displays.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub display: Vec<DisplayKit>,
    /// Arms, mounts and brackets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mount: Vec<MountKit>,
    /// Loudspeakers of all kinds, bars and subwoofers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub loudspeaker: Vec<LoudspeakerKit>,
    /// Amplifiers and receivers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub amplifier: Vec<AmplifierKit>,
    /// Sources, switches, extenders, network and control kit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub device: Vec<DeviceKit>,
    /// Cupboards and racks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cupboard: Vec<CupboardKit>,
    /// Cable by kind.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cable: Vec<CableKit>,
    /// Plates, boxes and whatever else is cut into a wall.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub plate: Vec<PlateKit>,
}

/// Facts that every catalogue entry may have.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Common {
    /// Short name, unique in the whole catalogue.
    pub id: String,
    /// Name for people; the id when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Outside width, height and depth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<[Length; 3]>,
    /// Mass without packing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass: Option<Mass>,
    /// Mains power drawn at its highest in use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub watts: Option<Power>,
    /// Of its mains power, the part that stays as heat where it stands; all of it when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heat: Option<Power>,
    /// Highest surrounding temperature that it is rated for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rated_to: Option<Temperature>,
    /// Its ports; without them a cable's end may name any.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub port: Vec<Port>,
    /// Ways of control that it accepts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub control: Option<Vec<Control>>,
    /// Ways of control that it gives to other things.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sends: Option<Vec<Control>>,
    /// Time that a picture takes through it, in the mode used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture_delay: Option<Duration>,
    /// Time that sound takes through it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound_delay: Option<Duration>,
    /// Height in units of a rack, 44.45 mm each; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rack_units: Option<u32>,
    /// Highest current in the first half cycle after it is switched on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inrush: Option<Current>,
    /// Where each fact was read, by the fact's name.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub read_from: BTreeMap<String, String>,
}

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

/// An arm, mount or bracket.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MountKit {
    /// Facts that every entry may have; `size` is the wall plate or the bracket.
    #[serde(flatten)]
    pub common: Common,
    /// The heaviest thing that it may carry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carries: Option<Mass>,
    /// From the wall to the thing's mounting face, parked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standoff: Option<Length>,
    /// From the wall to the mounting face at full reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach: Option<Length>,
    /// How far it pulls down from its parked height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pull_down: Option<Length>,
    /// Length of the links that it swings down on, each as long as the other; without it the way
    /// is taken as straight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub link: Option<Length>,
    /// How far it turns to each side at full reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turns: Option<Angle>,
    /// Greatest tilt downwards.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt_down: Option<Angle>,
    /// Shortest and longest drop, from the ceiling to the top of what hangs from it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop: Option<[Length; 2]>,
    /// The steepest ceiling that it, or its adaptor, levels out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slope_max: Option<Angle>,
    /// Hole patterns that it takes, each across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub takes: Option<Vec<[Length; 2]>>,
    /// An adapter plate: the hole pattern of its back, across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offers: Option<[Length; 2]>,
    /// Screws into the wall, in all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screws: Option<u32>,
    /// The screws' nominal diameter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screw_diameter: Option<Length>,
    /// Length of thread in the wood.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thread_in_wood: Option<Length>,
    /// Distance between the upper and the lower row of screws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub row_spacing: Option<Length>,
    /// Distance between the outer screws of a row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screw_spread: Option<Length>,
    /// From the lower row of screws to the plate's lower edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heel: Option<Length>,
}

/// A loudspeaker, bar or subwoofer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LoudspeakerKit {
    /// Facts that every entry may have; `size` is the outside (grille or case).
    #[serde(flatten)]
    pub common: Common,
    /// How it is fitted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub form: Option<LoudspeakerForm>,
    /// Level at 1 m on the axis for 2.83 V.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sensitivity: Option<Level>,
    /// Nominal impedance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub impedance: Option<Impedance>,
    /// Lowest impedance in its band.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub impedance_min: Option<Impedance>,
    /// Power that it takes for hours without damage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_max: Option<Power>,
    /// Power that it takes in the instant of a peak, where the maker states that as well.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_peak: Option<Power>,
    /// Highest level that it makes at 1 m on its axis, as the rms of a tone, where the maker
    /// states one; one that is powered by itself is judged by it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_max: Option<Level>,
    /// Highest level at 1 m on its axis in the instant of a peak, where the maker states that:
    /// 3 dB more than the same as a tone's rms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_peak: Option<Level>,
    /// Full angle between the directions that are 6 dB down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coverage: Option<Angle>,
    /// How its two sides play together; `monopole` when left out. The lobes of a dipole and of
    /// a bipole are to its left and right; `angled` is how far a bipole's sides are off square,
    /// `coverage` that of one side, and the sensitivity is that of its loudest direction.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pattern: Option<LoudspeakerPattern>,
    /// Diameter of the diaphragm that plays the top octaves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub driver: Option<Length>,
    /// Measured polar data as plain text: a line `frequency_hz, around_deg, off_deg, level_db`,
    /// then one line for each direction and frequency; `around_deg` clockwise from straight up
    /// as seen from in front, `off_deg` off the axis from 0 to 180.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub polar: Option<String>,
    /// How far off square its drivers can be turned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turns: Option<Angle>,
    /// How far off square its baffle is built.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub angled: Option<Angle>,
    /// The weighted sound reduction index of the wall or ceiling where it is fitted, its back
    /// box included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reduction: Option<Level>,
    /// Powers that its line transformer can be set to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taps: Option<Vec<Power>>,
    /// Lowest frequency that it plays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plays_from: Option<Frequency>,
    /// Of one that stands: from its underside up to the middle of its sound, about that of its
    /// tweeter; half its height when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sounds_up: Option<Length>,
    /// Cut-out, across and up; a round hole's diameter twice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cutout: Option<[Length; 2]>,
    /// Depth needed behind the board's face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_behind: Option<Length>,
    /// Mounting holes in its back or bracket, across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub holes: Option<[Length; 2]>,
    /// Width of its bracket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bracket_width: Option<Length>,
    /// Number of amplifier channels that it asks for; 1 when left out, 0 when powered by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channels: Option<u32>,
}

/// How a loudspeaker is fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LoudspeakerForm {
    /// On the floor.
    Floor,
    /// On a stand or shelf.
    Stand,
    /// On the wall.
    OnWall,
    /// In the wall.
    InWall,
    /// In the ceiling.
    InCeiling,
    /// A bar under or over the picture.
    Bar,
    /// Outdoors in the ground or planting.
    Landscape,
    /// A subwoofer.
    Subwoofer,
}

impl LoudspeakerKit {
    /// Whether it has two sides, which it may turn along its wall.
    pub fn is_two_sided(&self) -> bool {
        matches!(
            self.pattern,
            Some(LoudspeakerPattern::Dipole | LoudspeakerPattern::Bipole)
        )
    }
}

/// How the sides of a loudspeaker play together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LoudspeakerPattern {
    /// It has one side.
    Monopole,
    /// Two sides in opposite phase: nothing goes straight ahead, seats hear it by way of walls.
    Dipole,
    /// Two sides in phase: broader than one.
    Bipole,
}

/// An amplifier or receiver.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AmplifierKit {
    /// Facts that every entry may have.
    #[serde(flatten)]
    pub common: Common,
    /// Channels for loudspeakers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channels: Option<u32>,
    /// Power of each channel with all driven.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power: Option<Power>,
    /// The load for which that power is stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub into: Option<Impedance>,
    /// Lowest load that it may drive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_min: Option<Impedance>,
    /// Output impedance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source_impedance: Option<Impedance>,
    /// Zones that can play different things at once; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zones: Option<u32>,
    /// The highest data rate that passes through it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub video_rate: Option<DataRate>,
    /// Copy protection version that it passes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<String>,
}

/// A source, switch, extender, network or control device.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DeviceKit {
    /// Facts that every entry may have.
    #[serde(flatten)]
    pub common: Common,
    /// The highest data rate of its video ports.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub video_rate: Option<DataRate>,
    /// Copy protection version.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<String>,
    /// Lowest voltage at which its trigger input works.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trigger_min: Option<Voltage>,
    /// Current that its trigger input draws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trigger_current: Option<Current>,
    /// Power that all its network ports feed together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_budget: Option<Power>,
    /// Nominal energy of its battery, in watt hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub battery_wh: Option<f64>,
    /// Whether it keeps surges away from what is plugged into it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surge: Option<bool>,
}

/// A cupboard or rack that kit stands in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CupboardKit {
    /// Facts that every entry may have; `size` is the outside.
    #[serde(flatten)]
    pub common: Common,
    /// Faces that touch free air; the front, both sides and the top when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub free_faces: Option<Vec<Face>>,
    /// Heat that passes each square metre of its panels, W/(m² K).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transmittance: Option<f64>,
    /// Free area of each of two vents, one low and one high, in square metres; shut when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vent_area: Option<crate::Area>,
    /// Height between the two vents.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vent_rise: Option<Length>,
    /// What its doors are made of; open when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub doors: Option<Doors>,
    /// Air that its fan moves, in cubic metres an hour; no fan when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fan_m3_per_h: Option<f64>,
    /// A free bay in which a subwoofer may stand: across, up, deep.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bay: Option<[Length; 3]>,
    /// Height of its rails in units of a rack, 44.45 mm each.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slots: Option<u32>,
}

/// What a cupboard's doors are made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Doors {
    /// Glass: infrared passes.
    Glass,
    /// Wood or another thing that light does not pass.
    Solid,
    /// Steel: radio does not pass either.
    Steel,
}

/// A face of a box.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Face {
    /// Where the doors are.
    Front,
    /// Against the wall.
    Back,
    /// Left.
    Left,
    /// Right.
    Right,
    /// Top.
    Top,
    /// Bottom.
    Bottom,
}

/// A kind of cable.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CableKit {
    /// Facts that every entry may have.
    #[serde(flatten)]
    pub common: Common,
    /// What it carries.
    pub carries: CableUse,
    /// Each conductor's size.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conductor: Option<WireSize>,
    /// Number of conductors.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conductors: Option<u32>,
    /// Outside diameter, the larger one of an oval.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub diameter: Option<Length>,
    /// Whether it has electronics or fibre inside that lengthen its reach.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub active: bool,
    /// The highest data rate that it is certified for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub data_rate: Option<DataRate>,
    /// The longest length at that rate, where the maker states one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reach: Option<Length>,
    /// Listed to run inside walls.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_wall: Option<bool>,
    /// Its class as printed on the jacket, such as `CL3R`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// Mass of each metre.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass_per_metre: Option<Mass>,
    /// The hardest pull that it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pull_max: Option<Force>,
    /// The tightest bend that it stands, to its inside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bend_radius: Option<Length>,
    /// Price of each metre, in the job's money.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price_per_metre: Option<f64>,
}

/// What a cable carries.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum CableUse {
    /// A loudspeaker's signal.
    Loudspeaker,
    /// A subwoofer's or other line-level signal.
    Line,
    /// Video with its sound.
    Video,
    /// Network on four pairs.
    Network,
    /// Control, triggers and infrared.
    Control,
    /// Antenna or satellite.
    Coax,
}

/// A plate, box or anything else cut into a wall or ceiling.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlateKit {
    /// Facts that every entry may have; `size` is the plate.
    #[serde(flatten)]
    pub common: Common,
    /// Cut-out, across and up.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cutout: Option<[Length; 2]>,
    /// Depth needed behind the board's face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_behind: Option<Length>,
}

/// Any catalogue entry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kit<'a> {
    /// A projection screen.
    Screen(&'a ScreenKit),
    /// A projector.
    Projector(&'a ProjectorKit),
    /// A flat display.
    Display(&'a DisplayKit),
    /// An arm, mount or bracket.
    Mount(&'a MountKit),
    /// A loudspeaker.
    Loudspeaker(&'a LoudspeakerKit),
    /// An amplifier or receiver.
    Amplifier(&'a AmplifierKit),
    /// A source or other device.
    Device(&'a DeviceKit),
    /// A cupboard or rack.
    Cupboard(&'a CupboardKit),
    /// A cable kind.
    Cable(&'a CableKit),
    /// A plate or box.
    Plate(&'a PlateKit),
}

impl<'a> Kit<'a> {
    /// The facts that every entry may have.
    pub fn common(self) -> &'a Common {
        match self {
            Self::Screen(kit) => &kit.common,
            Self::Projector(kit) => &kit.common,
            Self::Display(kit) => &kit.common,
            Self::Mount(kit) => &kit.common,
            Self::Loudspeaker(kit) => &kit.common,
            Self::Amplifier(kit) => &kit.common,
            Self::Device(kit) => &kit.common,
            Self::Cupboard(kit) => &kit.common,
            Self::Cable(kit) => &kit.common,
            Self::Plate(kit) => &kit.common,
        }
    }

    /// The word after `kit.` in the job file.
    pub fn kind(self) -> &'static str {
        match self {
            Self::Screen(_) => "screen",
            Self::Projector(_) => "projector",
            Self::Display(_) => "display",
            Self::Mount(_) => "mount",
            Self::Loudspeaker(_) => "loudspeaker",
            Self::Amplifier(_) => "amplifier",
            Self::Device(_) => "device",
            Self::Cupboard(_) => "cupboard",
            Self::Cable(_) => "cable",
            Self::Plate(_) => "plate",
        }
    }
}

impl Catalogue {
    /// Every entry in the order of kinds, then of the file.
    pub fn all(&self) -> impl Iterator<Item = Kit<'_>> {
        (self.screen.iter().map(Kit::Screen))
            .chain(self.projector.iter().map(Kit::Projector))
            .chain(self.display.iter().map(Kit::Display))
            .chain(self.mount.iter().map(Kit::Mount))
            .chain(self.loudspeaker.iter().map(Kit::Loudspeaker))
            .chain(self.amplifier.iter().map(Kit::Amplifier))
            .chain(self.device.iter().map(Kit::Device))
            .chain(self.cupboard.iter().map(Kit::Cupboard))
            .chain(self.cable.iter().map(Kit::Cable))
            .chain(self.plate.iter().map(Kit::Plate))
    }
}
