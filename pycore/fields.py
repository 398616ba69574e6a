"""The glossary: every stored or shown quantity, once.

Forms, validators, the CSV header, the command line's ``describe`` and the glossary page
are all made from :data:`FIELDS`. A field has two levels of limits: outside *usual* the
user is asked to confirm, outside *possible* the value is refused.
"""

from __future__ import annotations

from typing import Final

from pycore.field_kinds import Field as Field
from pycore.field_kinds import choice, flag, number
from pycore.fields_follow_up import FOLLOW_UP
from pycore.fields_notation import NOTATION
from pycore.units import KERATOMETER_INDEX, keratometric_power_d
from pycore.words import say

_EYE = (
    choice("eye", "Eye", "Which eye; never assumed.", right="Right eye", left="Left eye"),
    Field("code", "Case code", "Random code of one eye; not an identifier of the patient.", "code"),
    Field("person", "Person code", "Random code that links two eyes of one person.", "code"),
    number("age_years", "Age", "years", (0, 120), (18, 95), "Age at surgery.", decimals=0),
    choice("sex", "Sex", "As recorded in the notes.",
            female="Female", male="Male", other="Other", unstated="Not stated"),
    choice("indication", "Indication", "Why the eye has no capsule to hold a lens.",
            aphakia="Aphakia after earlier surgery",
            dislocated_lens_implant="Dislocated lens implant",
            dislocated_natural_lens="Dislocated natural lens", trauma="Trauma",
            weak_zonules="Weak zonules", exchange="Lens exchange", other="Other"),
    choice("cornea", "Cornea", "History that widens the error of the corneal power.",
            ordinary="Ordinary", refractive_surgery="After refractive surgery",
            keratoplasty="After keratoplasty", scar="Scarred", old_large_wound="Old large wound"),
    flag("demo", "Invented eye", "An invented eye for practice; never exported by default."),
    Field("created_at", "Created", "When this record was made, UTC.", "instant"),
    Field("updated_at", "Changed", "When this record was last changed, UTC.", "instant"),
    choice("vitreous", "Vitreous", "State of the vitreous before or during this surgery.",
            removed="Vitrectomised", anterior_removed="Anterior vitrectomy", formed="Formed"),
)

_MEASUREMENTS = (
    number("axial_length_mm", "Axial length", "mm", (14, 40), (20, 30),
            "Corneal vertex to retina along the visual axis."),
    choice("axial_method", "Axial length by", "How the axial length was measured.",
            optical="Optical", immersion="Immersion ultrasound", contact="Contact ultrasound"),
    choice("keratometry_method", "Keratometry by", "Instrument that gave the corneal radii.",
            table="Table or biometer", hand_held="Hand-held"),
    number("k1_d", "K flat", "D", (28, 65), (40, 47),
            "Keratometric power of the flatter meridian, index 1.3375."),
    number("k2_d", "K steep", "D", (28, 65), (40, 47),
            "Keratometric power of the steeper meridian, index 1.3375."),
    number("k2_axis_deg", "Steep axis", "°", (0, 180), (0, 180),
            "Meridian of the steeper corneal power, TABO.", decimals=0),
    choice("k_unit", "Keratometry in", "Whether the cornea was entered as powers or as radii.",
            d="Powers (D)", mm="Radii (mm)"),
    number("r1_mm", "Radius flat", "mm", (5.1923, 12.0536), (7.18, 8.4375),
            "Corneal radius of the flatter meridian."),
    number("r2_mm", "Radius steep", "mm", (5.1923, 12.0536), (7.18, 8.4375),
            "Corneal radius of the steeper meridian."),
    number("phakic_acd_mm", "Phakic chamber depth", "mm", (1.5, 6.0), (2.2, 4.2),
            "Corneal epithelium to the natural lens, measured before that lens was lost."),
    number("limbus_horizontal_mm", "Limbus horizontal", "mm", (7, 15), (10.8, 12.8),
            "Horizontal diameter of the limbus.", decimals=1),
    number("limbus_vertical_mm", "Limbus vertical", "mm", (7, 15), (10.2, 12.4),
            "Vertical diameter of the limbus.", decimals=1),
    number("velocity_m_s", "Ultrasound velocity", "m/s", (500, 6000), (1530, 1560),
            "Velocity the ultrasound instrument was set to.", decimals=0),
    choice("lens_state", "Lens in the beam", "What the ultrasound beam passed through.",
            phakic="Natural lens", aphakic="No lens", lens_out_of_beam="Lens out of the beam",
            pseudophakic="Lens implant", phakic_oil="Natural lens and silicone oil",
            aphakic_oil="No lens, silicone oil"),
    choice("lens_material", "Lens material", "Material of the lens implant in the beam.", pmma="PMMA",
            acrylic="Acrylic", silicone_lens="Silicone", glass="Glass"),
    choice("tissue", "Segment", "What one segment of the ultrasound beam is.", aqueous="Aqueous",
            vitreous="Vitreous", cornea="Cornea", natural_lens="Natural lens",
            oil_1000="Silicone oil 1000 cSt", oil_5000="Silicone oil 5000 cSt", pmma="PMMA lens",
            acrylic="Acrylic lens", silicone_lens="Silicone lens"),
    number("lens_thickness_mm", "Lens thickness", "mm", (0.1, 3), (0.4, 1.4),
            "Centre thickness of the lens implant in the beam."),
    number("segment_mm", "Segment length", "mm", (0.05, 40), (0.4, 30),
            "Length of one segment as shown."),
    number("keratometer_index", "Keratometer index", "", (1.325, 1.38), (1.3315, 1.3375),
            "Index by which the instrument turns a radius into a power.", decimals=4),
    choice("power_kind", "Corneal power is", "What the instrument calls corneal power.",
            keratometric="Keratometric (front face)", total="Total (both faces)"),
    choice("laser_for", "Laser corrected", "What corneal laser surgery corrected.",
            myopia="Myopia", hyperopia="Hyperopia"),
    number("chamber_depth_mm", "Chamber depth", "mm", (1, 6), (2, 4.2),
            "Depth of the anterior chamber to the natural lens, as measured."),
    choice("depth_from", "Depth from", "Where the measured chamber depth begins.",
            epithelium="Epithelium", endothelium="Endothelium"),
    number("corneal_thickness_um", "Corneal thickness", "\u00b5m", (300, 900), (470, 620),
            "Central corneal thickness.", decimals=0),
    number("vertex_mm", "Vertex distance", "mm", (0, 25), (11, 15),
            "From the spectacle plane to the corneal vertex.", decimals=1),
    choice("otherwise", "Measured otherwise", "What was measured in another way than the form asks for.",
            velocity="Ultrasound at another velocity", index="Corneal power with another index",
            total="Total corneal power", laser="Cornea after laser surgery",
            no_length="Axial length not measured", no_cornea="Cornea not measured",
            depth="Chamber depth from the endothelium"),
    Field("origin", "Made from", "What was measured and how it was converted.", "text"),
    Field("origin_source", "Source", "On whose word it was converted.", "text"),
    number("off_mean", "Expected error", "", (-10, 10), (-2, 2),
            "What the value is expected to be off by, mm or D.", signed=True),
    number("off_sd", "SD of the error", "", (0, 10), (0, 3), "How sure that is, mm or D."),
)

_LENS = (
    Field("lens_name", "Lens", "Your own short name for the lens; never exported.", "text"),
    number("lens_power_d", "Lens power", "D", (-10, 45), (6, 30),
            "Labelled equivalent power of the lens.", decimals=1, signed=True),
    number("a", "A constant", "", (110, 125), (117, 120), "SRK/T constant on the label.",
            decimals=2),
    number("pacd_mm", "ACD constant", "mm", (0, 9), (4.5, 6.5), "Hoffer Q constant."),
    number("surgeon_factor_mm", "Surgeon factor", "mm", (-4, 5), (0.5, 2.8),
            "Holladay 1 constant.", signed=True),
    number("a0", "a0", "mm", (-8, 10), (-1.5, 3), "Haigis constant.", decimals=3, signed=True),
    number("a1", "a1", "", (-2, 2), (0, 0.6), "Haigis constant.", decimals=3, signed=True),
    number("a2", "a2", "", (-2, 2), (0, 0.4), "Haigis constant.", decimals=3, signed=True),
    number("lens_length_mm", "Overall length", "mm", (8, 16), (12, 13.8),
            "Tip to tip of the loose lens.", decimals=1),
    number("optic_diameter_mm", "Optic", "mm", (4, 8), (5.5, 7), "Optic diameter.", decimals=1),
    number("haptic_length_mm", "Haptic length", "mm", (3, 12), (5, 8.5),
            "One haptic straightened, optic edge to tip.", decimals=1),
)

_PLAN = (
    number("target_d", "Target", "D", (-12, 6), (-3, 0.5),
            "Wanted spherical equivalent at 12 mm vertex.", signed=True),
    number("fellow_se_d", "Fellow eye", "D", (-30, 30), (-6, 4),
            "Spherical equivalent of the other eye.", signed=True),
    choice("formula", "Formula", "Base formula that predicts length and lens position.",
            holladay1="Holladay 1", srkt="SRK/T", hoffer_q="Hoffer Q", haigis="Haigis"),
    number("meridian_deg", "Fixation meridian", "°", (0, 180), (0, 180),
            "Meridian through both entries, TABO.", decimals=0),
    choice("mark", "What lies there", "Around the limbus, and not to be met by an entry.",
            bleb="Bleb", tube="Drainage tube", buckle="Buckle or its suture", thin_sclera="Thin sclera",
            pterygium="Pterygium", incision="Incision", port="Port", infusion="Infusion",
            iridectomy="Iridectomy"),
    choice("at_clock", "At", "Clock hour seen from in front, 12 toward the brow.",
            **{f"{hour}{half}": f"{hour}{half}" for hour in (12, *range(1, 12)) for half in ("", ":30")}),
    choice("seat", "Seat", "Where the surgeon sits.",
            superior="Superior (12 o'clock)", temporal="Temporal"),
    number("entry_mm", "Entry", "mm", (0, 6), (1.5, 3),
            "Scleral entry behind the limbus, along the surface.", decimals=1),
    number("tunnel_mm", "Tunnel", "mm", (0, 6), (1.0, 3), "Length of the scleral tunnel.",
            decimals=1),
    Field("clock", "Clock hour", "Half-hour of the clock face, 3 at TABO 0, 12 at 90.", "text"),
    number("depth_mm", "Depth", "mm", (0, 12), (0.5, 2), "Scleral entry behind the limbal plane."),
    number("outer_chord_mm", "Between entries", "mm", (5, 25), (13.5, 16.5),
            "Straight distance between both scleral entries.", decimals=1),
    number("midpoint_offset_mm", "Off centre", "mm", (0, 6), (0, 0.1),
            "From the middle between both entries to the eye's axis."),
    number("expected_outside_mm", "Expected outside", "mm", (-9, 9), (1.5, 5),
            "Length outside expected of a haptic drawn straight.", decimals=1),
    flag("symmetric", "Entries symmetric", "The middle between both entries lies on the eye's axis."),
    flag("iridectomy_planned", "Peripheral iridectomy", "Peripheral iridectomy planned."),
)

_THEATRE = (
    number("refraction_d", "Reading", "D", (-40, 40), (-6, 6),
            "Spherical equivalent at 12 mm vertex.", signed=True),
    number("sphere_d", "Sphere", "D", (-40, 40), (-6, 6), "Sphere, minus-cylinder form.",
            signed=True),
    number("cylinder_d", "Cylinder", "D", (-15, 0), (-4, 0), "Cylinder, minus form.", signed=True),
    number("axis_deg", "Axis", "°", (0, 180), (0, 180), "Axis of the cylinder, TABO.", decimals=0),
    choice("instrument", "Instrument", "What took the reading.", aberrometer="Aberrometer",
            retinoscope="Retinoscope", autorefractor="Hand-held autorefractor"),
    number("noise_sd_d", "Reading noise", "D", (0.01, 3), (0.1, 1), "SD of one reading."),
    number("outside_mm", "Length outside", "mm", (-2, 9), (0.5, 5),
            "From the scleral opening to the haptic's original tip.", decimals=1),
    number("outside_now_mm", "Length outside now", "mm", (-2, 9), (0, 5),
            "From the scleral opening to the tip as it is now.", decimals=1),
    number("removed_mm", "Already removed", "mm", (0, 8), (0, 4),
            "Cut or melted away from this haptic so far.", decimals=1),
    number("drawn_out_mm", "Drawn out", "mm", (0.5, 9), (1.5, 4),
            "Length outside when the haptic is taut.", decimals=1),
    number("melt_mm", "Melt", "mm", (0.1, 4), (0.8, 2), "Length of haptic melted into the flange.",
            decimals=1),
    number("bury_mm", "Bury", "mm", (-1, 3), (0.2, 1),
            "Depth of the flange's inner shoulder below the scleral surface.", decimals=1),
    number("cut_mm", "Cut", "mm", (0, 8), (0, 3), "Length cut off the haptic.", decimals=1),
    number("iop_mmhg", "IOP", "mmHg", (0, 80), (8, 30), "Intraocular pressure.", decimals=0),
    choice("infusion", "Infusion", "Infusion during the reading.",
            none="None", open="Open", closed="Closed"),
    choice("fill", "Fill", "What fills the light path behind the cornea.", saline="Saline",
            viscoelastic="Viscoelastic", air="Air", gas="Gas", oil="Silicone oil",
            perfluorocarbon="Perfluorocarbon"),
    flag("iridectomy_done", "Iridectomy done", "Iridectomy open during the reading."),
    choice("conditions", "Conditions", "What was confirmed before a reading.",
            viscoelastic_out="Viscoelastic out", no_air_or_gas="No air or gas in the eye",
            iop_measured="IOP measured, about 15 to 25 mmHg",
            infusion_stated="Infusion closed or held steady",
            speculum_loosened="Speculum loosened, nothing pulls", cornea_smooth="Cornea wet and smooth",
            optic_centred="Optic centred, edge out of the pupil",
            iridectomy_known="Iridectomy as planned, iris flat", hands_off="Hands off the eye"),
    choice("length_basis", "Length by", "Measured with callipers or a named end.",
            measured="Measured", drawn_out="Drawn out (2.5 mm assumed)",
            pushed_in="Pushed in (1.0 mm assumed)"),
    choice("haptic_state", "Haptics", "What has been done to the haptics.", both_free="Both free",
            one_flanged="One flanged", both_flanged="Both flanged", buried="Buried"),
    choice("haptic", "Haptic", "Which haptic; shown by its clock hour.", a="First", b="Second"),
    choice("haptic_step", "Step", "What was done to a haptic.",
            **{"pass": "Passed through tunnel"},
            externalise="Drawn out of the eye", bulb="Tip bulbed", pull="Pulled or pushed",
            cut="Cut", melt="Melted", bury="Buried", measure="Measured"),
)

_RECORD = (
    Field("id", "Entry", "Random name of one entry of the record.", "text"),
    Field("at", "Time", "When this was entered, UTC.", "instant"),
    choice("readback", "Read-back", "What was read aloud.", plan="Plan", cut="Cut"),
    flag("by_two", "By two people", "Read aloud by one person and checked by another."),
    Field("reason", "Reason", "Why an entry was withdrawn; never exported.", "text"),
    Field("placement", "Placement", "Number of the placement of the haptics; repeats at unchanged "
          "lengths share it.", "integer", "", 0, 0, 99, 0, 12),
    number("length_mm", "Length", "mm", (-2, 12), (0, 6),
            "After drawing out, pulling or measuring: length outside now. After bulbing, cutting or "
            "melting: length removed. After burying: depth of the flange's inner shoulder.",
            decimals=1),
    choice("basis", "Known by", "How a logged length is known.", measured="Measured",
            assumed="Assumed"),
    Field("corrects", "Corrects", "The earlier entry that this one replaces.", "text"),
    number("mean_d", "Predicted", "D", (-40, 40), (-6, 6),
            "Predicted spherical equivalent at one month, mean.", signed=True),
    number("sd_d", "Predicted SD", "D", (0, 10), (0.1, 1.5),
            "Standard deviation of the prediction."),
    number("low80_d", "80 % from", "D", (-40, 40), (-8, 6), "Lower end of the 80 % interval.",
            signed=True),
    number("high80_d", "80 % to", "D", (-40, 40), (-6, 8), "Upper end of the 80 % interval.",
            signed=True),
    number("within_050", "Within 0.50 D", "", (0, 1), (0, 1),
            "Chance to end within 0.50 D of target."),
    flag("no_useful_adjustment", "No useful adjustment", "Advice was to centre and flange only."),
    Field("readings_used", "Readings used", "Readings behind the advice.", "integer", "", 0, 0,
            999, 0, 12),
    Field("fingerprint", "Fingerprint", "Tells an imported eye when the same file comes again.", "text"),
    Field("surgery_year", "Year of surgery", "Year of surgery, where no date is known; the first of its "
          "band.", "integer", "", 0, 1950, 2100, 1990, 2100),
    Field("year_band_years", "Years together", "How many years of surgery stand together.", "integer",
          "years", 0, 1, 20, 1, 20),
    Field("age_from_years", "Age from", "Youngest age of the band, where no age is known; 90 stands for "
          "90 and over.", "integer", "years", 0, 0, 120, 0, 95),
    Field("age_band_years", "Ages together", "How many years of age stand together.", "integer", "years",
          0, 1, 120, 1, 120),
    Field("core_version", "Core version", "Version that gave the advice.", "text"),
    Field("build_id", "Build", "Build that gave the advice.", "text"),
)

_TILT = (
    number("lens_index", "Lens index", "", (1.4, 1.8), (1.42, 1.56),
            "Refractive index of the optic.",
            decimals=3),
    choice("medium", "Medium", "What fills the eye behind the lens.", saline="Saline or vitreous",
            oil="Silicone oil", gas="Gas"),
    choice("lens_shape", "Lens shape", "Shape of the optic, front face first.",
            equiconvex="Both faces alike", flat_back="Flat back", flat_front="Flat front",
            concave_back="Concave back"),
    flag("oil_stays", "Oil stays", "Whether the silicone oil is meant to stay for good."),
    number("tilt_deg", "Tilt", "°", (0, 45), (0, 15), "Angle between lens and eye axis.",
            decimals=1),
    number("tilt_axis_deg", "Tilt axis", "°", (0, 360), (0, 360),
            "Meridian about which the lens is turned, TABO; the edge 90° counter-clockwise of it, "
            "seen from in front, comes forward.", decimals=0),
    number("decentre_mm", "Decentration", "mm", (0, 3), (0, 1),
            "Optic centre from the eye's axis."),
    number("decentre_axis_deg", "Decentration toward", "°", (0, 360), (0, 360),
            "Direction of the decentration, TABO.", decimals=0),
    number("pupil_mm", "Pupil", "mm", (1, 8), (2, 6), "Entrance pupil diameter.", decimals=1),
    number("shift_d", "Change of SE", "D", (-40, 40), (-2, 0.25),
            "What tilt and decentration add to the spherical equivalent.", signed=True),
    number("coma_um", "Coma", "µm", (0, 100), (0, 0.3),
            "Third-order coma over the pupil, RMS."),
)

_BOX = (
    Field("lens_count", "Pieces", "How many of this lens are in the box.", "integer", "", 0, 0, 999, 1, 30),
    Field("constants_source", "Constants from", "Where the constants were read, such as the label.", "text"),
    Field("expires_on", "Use until", "Last day on which the lens may be used, from its label.", "date"),
    choice("power_step", "Step", "From one power to the next in a run of lenses.",
            half="Half dioptres", whole="Whole dioptres"),
)

_AUDIT = (
    number("predicted_d", "Predicted", "D", (-40, 40), (-6, 6),
            "Predicted spherical equivalent for the lens implanted.", signed=True),
    number("achieved_d", "Achieved", "D", (-40, 40), (-6, 6),
            "Achieved spherical equivalent.", signed=True),
    number("error_d", "Difference", "D", (-80, 80), (-2, 2),
            "Achieved minus predicted; negative is more myopic than predicted.", signed=True),
    number("k_d", "K mean", "D", (28, 65), (40, 47), "Mean keratometric power, index 1.3375."),
    number("lens_position_mm", "Lens position", "mm", (1, 12), (3.5, 7),
            "Thin-lens position behind the corneal vertex."),
    number("aphakic_refraction_d", "Aphakic refraction", "D", (-40, 40), (3, 20),
            "Refraction of the eye before the lens is in, in the plane it was measured at.", signed=True),
    choice("aphakic_form", "Entered as", "How the aphakic refraction was written down.",
            equivalent="Spherical equivalent", spherocylinder="Sphere and cylinder",
            meridians="Two meridians"),
    flag("ignore_history", "Ignore my own eyes", "Plan this eye as if nothing was learned from others."),
    number("working_distance_m", "Working distance", "m", (0.2, 2.0), (0.33, 1.0),
            "From the retinoscope to the eye; its reciprocal is taken off the neutralising lens."),
    number("present_refraction_d", "Present refraction", "D", (-40, 40), (-10, 20),
            "Refraction now, before the lens change.", signed=True),
)

FIELDS: Final[dict[str, Field]] = {
    entry.name: entry
    for entry in (
        *_EYE, *_MEASUREMENTS, *_LENS, *_PLAN, *_THEATRE, *_RECORD, *_TILT, *FOLLOW_UP, *_BOX, *_AUDIT,
        *NOTATION,
    )
}


def unit_hint(entry: Field, value: float) -> str:
    """What a number that is impossible for ``entry`` probably is; empty when unknown."""
    if entry.name in ("k1_d", "k2_d", "k_d") and 5.0 < value < 12.1:
        power = keratometric_power_d(value)
        return (
            say(
                "{value} looks like a radius in mm: enter it as a radius ({power} D with index "
                "{keratometer_index}).",
                value=f"{value:g}", power=f"{power:.2f}", keratometer_index=KERATOMETER_INDEX,
            )
        )
    if entry.name in ("r1_mm", "r2_mm") and 28 <= value <= 65:
        return say("{value} looks like a power in D: enter it as a power.", value=f"{value:g}")
    if entry.name == "axial_length_mm" and 140 <= value <= 400:
        return say("Did you mean {value} mm? The decimal mark is missing.", value=f"{value / 10:g}")
    if entry.name == "cylinder_d" and 0 < value <= 15:
        return "Enter the refraction in minus-cylinder form."
    return ""
