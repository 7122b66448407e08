"""What a boat is: the values that `read_boat` gives and every calculation takes.

All frozen, SI floats and radians. Frame: x forward from the transom, y to port, z up from the
baseline. These values were checked when they were read; nobody checks them again.
"""

from dataclasses import dataclass
from enum import StrEnum

from flotation.boat_entries import Entry
from flotation.boat_panels import Panel
from flotation.boat_places import Box, KeepOut, Point
from flotation.foamsystem import Foam, Shop
from flotation.foundbetween import FoundBetween
from flotation.geometry.solid import Skin, Solid
from flotation.rulebook import Material


class Propulsion(StrEnum):
    """What drives the boat; it decides which kind of flotation is asked for."""

    OUTBOARD = "outboard"
    INBOARD = "inboard"
    STERNDRIVE = "sterndrive"
    AIRBOAT = "airboat"
    MANUAL = "manual"


class Kind(StrEnum):
    """Kind of boat, as the scope sections of the rules divide them."""

    MONOHULL = "monohull"
    MULTIHULL = "multihull"
    SAILBOAT = "sailboat"
    CANOE = "canoe"
    KAYAK = "kayak"
    INFLATABLE = "inflatable"
    SUBMERSIBLE = "submersible"
    SURFACE_EFFECT = "surface effect vessel"
    AMPHIBIOUS = "amphibious vessel"
    RACEBOAT = "raceboat"


class Role(StrEnum):
    """What a weight is to the rules."""

    STRUCTURE = "structure"
    MOTOR = "motor"
    CONTROLS = "controls"
    BATTERY = "battery"
    PORTABLE_TANK = "portable tank"
    PERMANENT_TANK = "permanent tank"
    EQUIPMENT = "equipment"


@dataclass(frozen=True)
class Weight:
    """One entry of the weight list.

    mass          kg, dry; a portable or permanent tank: full
    material      None for machinery, whose swamped mass is stated or estimated
    at            centre of gravity, m
    below_water   True: below the swamped waterline, so it counts with its submergence factor
    tolerance     kg either way; None: not stated
    swamped_mass  kg as the scale shows it under water; motor and battery only, else None
    size          length, breadth, height of the box that it fills, m; None: not stated
    entry         file and entry it was read from, for messages and reports
    """

    item: str
    mass: float
    material: Material | None
    at: Point
    below_water: bool
    role: Role
    tolerance: float | None
    swamped_mass: float | None
    size: Point | None
    entry: str


@dataclass(frozen=True)
class Scale:
    """One of two scales: where it stood and what it showed."""

    x: float
    mass: float


@dataclass(frozen=True)
class Weighing:
    """The boat on two scales.

    roles  which entries of the weight list were aboard
    adopt  True: the difference from the list enters the calculation as a weight of its own
    """

    aft: Scale
    forward: Scale
    roles: frozenset[Role]
    adopt: bool


class HoleKind(StrEnum):
    """Foam goes in through a fill hole; air leaves through a vent, and through both."""

    FILL = "fill"
    VENT = "vent"


@dataclass(frozen=True)
class Hole:
    """A hole drilled in the top of a cavity: its centre on the surface and diameter, m."""

    name: str
    kind: HoleKind
    at: Point
    diameter: float


@dataclass(frozen=True)
class TakenOut:
    """Something inside a cavity where no foam goes.

    solid         as it was stated
    volume_inside m3 that it takes out of this cavity
    tank          None, "metallic" or "non-metallic"
    sole_support  True: foam alone holds this tank up
    """

    name: str
    solid: Solid
    volume_inside: float
    tank: str | None
    sole_support: bool


class Exposure(StrEnum):
    """Places where 33 CFR 183.114 asks for foam that petrol, oil and cleaner do not harm."""

    NONE = "none"
    ENGINE_ROOM = "engine room"
    ENGINE_BILGE = "engine-room bilge"
    OPEN_BILGE = "unsealed bilge"


@dataclass(frozen=True)
class HandCheck:
    """Volume from section areas as yards reckon it by hand, beside the volume of the solid.

    simpson  None where the stations are not evenly spaced or their number is even
    """

    trapezoidal: float
    simpson: float | None
    solid: float


@dataclass(frozen=True)
class Cavity:
    """A closed space that foam may fill.

    solid          what foam fills, after the laminate and what is inside were taken out, m
    gross_volume   m3 before anything was taken out, laminate already off
    moved_in       m of laminate by which a moulded face was moved in; 0 for laminate inside
    foam           name of the foam system; None: left empty (and flooded when swamped)
    hold_down      N that keeps the cavity's lid or liner down; None: not stated
    group          cavities of one group share tables on the pour sheet
    panels         what the foam presses on, as far as it is stated
    entry          file and entry it was read from
    drill          boxes within which further holes may be drilled; none: its whole top
    found          how it was found between the parts; None for one that was drawn
    """

    name: str
    group: str
    solid: Solid
    gross_volume: float
    moved_in: float
    taken_out: tuple[TakenOut, ...]
    foam: str | None
    holes: tuple[Hole, ...]
    exposure: Exposure
    hold_down: float | None
    hold_down_by: str
    hand_check: HandCheck | None
    entry: str
    drill: tuple[Box, ...] = ()
    panels: tuple[Panel, ...] = ()
    found: FoundBetween | None = None


@dataclass(frozen=True)
class FoamInPlace:
    """Foam in a cavity: kg poured, the solid it fills and kg/m3 in place.

    A plan gives it, a record gives it, the assessment takes it.
    uptake  kg/m3 of water taken up, from the foam system's stated uptake
    """

    cavity: str
    foam: str
    mass: float
    solid: Solid
    density: float
    uptake: float


@dataclass(frozen=True)
class Chamber:
    """A sealed air chamber.

    integral  part of the hull itself: flooded in every level test, never counted in basic
    counted   the builder counts on it
    size      length, breadth, height of the box that it fills, m; None: not stated
    """

    name: str
    volume: float
    at: Point
    integral: bool
    counted: bool
    size: Point | None = None


@dataclass(frozen=True)
class Part:
    """A part of the boat drawn as a sheet: hull, sole, deck, a liner.

    skin    its surface, with the thickness as stated
    weight  the item of the weight list whose mass is spread over it
    entry   file and entry it was read from
    """

    name: str
    skin: Skin
    weight: str
    entry: str


@dataclass(frozen=True)
class Tank:
    """A permanent tank.

    solid      its outside, m
    shell      item of the weight list: the tank when it is empty
    contents   item of the weight list: what is in it when it is full
    sealed     no water gets in when the boat is swamped
    restraint  what holds it down against its own lift, in the builder's words; "": not stated
    entry      file and entry it was read from
    """

    name: str
    solid: Solid
    shell: str
    contents: str
    sealed: bool
    restraint: str
    entry: str


@dataclass(frozen=True)
class Top:
    """Points on the top of hull or deck in the reference areas, m, each with its like abeam."""

    forward: tuple[Point, ...]
    aft: tuple[Point, ...]


@dataclass(frozen=True)
class IntactHull:
    """The watertight outside, m, closed at its height; openings: where water comes in first."""

    solid: Solid
    openings: tuple[Point, ...]


@dataclass(frozen=True)
class PassengerArea:
    """Where people stay: from x aft to x forward, half breadth and height of the sole, m.

    side  half breadth of the hull inside, at the widest part of the floor line, m
    """

    aft: float
    forward: float
    half_breadth: float
    sole: float
    side: float


@dataclass(frozen=True)
class Jig:
    """How the hull stands: heel to starboard, trim bow up, rad; their ranges, None: it is fixed."""

    heel: float
    trim: float
    heel_range: tuple[float, float] | None = None
    trim_range: tuple[float, float] | None = None


@dataclass(frozen=True)
class Method:
    """Choices where published sources disagree; the defaults are the safe side.

    wood_lifts      True: wood counts with its physical sign; False: wood gives no lift (K = 0)
    credit_cap      True: cap the foam's credit as 46 CFR 170.245 does for passenger vessels
    basic_persons   "maximum weight" or "persons": which weight the handbook's 25 % takes
    material_factor "largest" or "handbook": which published factor of a material counts
    """

    wood_lifts: bool
    credit_cap: bool
    basic_persons: str
    material_factor: str = "largest"


@dataclass(frozen=True)
class Capacity:
    """What the capacity plate says, and what its own rules would be computed from.

    persons, maximum_weight   kg
    maximum_displacement      kg; None: not stated, and then no capacity is computed
    side_load                 kg on one side at which water is about to come aboard; None likewise
    """

    persons: float
    maximum_weight: float
    maximum_displacement: float | None
    side_load: float | None


@dataclass(frozen=True)
class Boat:
    """A boat as its file describes it.

    length, beam      m; length as 33 CFR 183.3 measures it
    rated_power       W
    water             water density, kg/m3; `water_name` is what the file says
    hull_has_foam     True: the structure's mass was weighed after the pour and has the foam in it
    files             every file that was read: name beside the boat file, and SHA-256
    notes             what the reader wants known: float32 far from the origin, and the like
    parts, tanks      what is drawn for the tests in the water; empty where nothing is
    keep_out          where no further hole is proposed; top, intact_hull: None where not stated
    entries           every entry of these files, in their order; none for a boat made in Python
    """

    name: str
    kind: Kind
    length: float
    beam: float
    propulsion: Propulsion
    rated_power: float
    capacity: Capacity
    water: float
    water_name: str
    weights: tuple[Weight, ...]
    hull_has_foam: bool
    weighing: Weighing | None
    foams: tuple[Foam, ...]
    shop: Shop
    cavities: tuple[Cavity, ...]
    chambers: tuple[Chamber, ...]
    passenger_area: PassengerArea
    jig: Jig
    method: Method
    files: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    parts: tuple[Part, ...] = ()
    tanks: tuple[Tank, ...] = ()
    top: Top | None = None
    intact_hull: IntactHull | None = None
    entries: tuple[Entry, ...] = ()
    keep_out: tuple[KeepOut, ...] = ()

    def foam(self, name: str) -> Foam:
        """The foam system of that name; KeyError if there is none."""
        for foam in self.foams:
            if foam.name == name:
                return foam
        raise KeyError(name)

    def cavity(self, name: str) -> Cavity:
        """The cavity of that name; KeyError if there is none."""
        for cavity in self.cavities:
            if cavity.name == name:
                return cavity
        raise KeyError(name)
