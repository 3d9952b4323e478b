"""The design of one pool: its shape, its shell, what surrounds it, and what is counted on the drawing."""

from dataclasses import dataclass, fields
from typing import get_args

from jobs.domain.basin import Basin
from jobs.domain.errors import CannotDo
from jobs.domain.exposure import Soil
from jobs.domain.shapes.entered import check_at_most, check_not_negative, check_positive
from jobs.science.formwork import chemistry_factor
from jobs.science.setting import Admixture, set_shares
from jobs.science.strength import CementClass
from jobs.science.wall_pour import Forms, Supply, Wall
from jobs.science.water.inflow import RunningWater, WaterSource, day_of

DEFAULT_FLOW_M3_H = 2.73

# Every wall form is designed for 600 psf at least (aci_347); the maker of the one used says how much more.
LEAST_RATED_KPA = 28.8

# No part of a shell or of its surroundings is thicker or wider; common practice, no source.
WIDEST_M = 10.0

MAY_BE_LEFT_OUT = ("form_height_m", "steel_kg", "pump_reach_m")


@dataclass(frozen=True, slots=True, kw_only=True)
class PoolDesign:
    """Everything the take-off needs of one pool. The engineer's drawing governs; defaults are common practice.

    Attributes
    ----------
    form_thickness_m, core_m : insulated form over all, and its concrete core [m].
    form_height_m : from the shallow floor to the top of the wall [m]; ``None`` is shallow depth + freeboard.
    slab_m, stone_m : thickness of floor slab and of the stone under it [m].
    edge_width_m, edge_depth_m : extra section of the thickened edge of the slab [m].
    working_space_m : dug beyond the outside of the form [m].
    dig_slope : run for each metre of height of the upper dig faces; 0 is upright. Local law and a competent
        person decide how a dig must be sloped or shored.
    coping_width_m, coping_depth_m : section of the coping poured with the wall [m].
    deck_width_m, deck_m : beyond the coping, and its thickness [m].
    reused_m3 : soil of the dig used again on the site [m3 bank].
    fence_m, pipe_m, floor_pipe_m, deck_joint_m : runs [m] counted on the drawing.
    floor_steel_kg : bars, edge bars, starters and laps [kg].
    steel_kg : whole cage of a sprayed shell [kg]; ``None`` takes a light cage by inner area. The engineer's drawing
        governs.
    spray_floor_m, spray_wall_m : thickness of a sprayed shell [m].
    rim_width_m, rim_depth_m : section of its rim beam, the wall in it included [m].
    tile_band_m : height of the tile band at the water line [m].
    tile_extra_m : tile on raised walls and a spa, beyond the water line [m].
    care_visits_each : brush and test visits while the finish hardens.
    bond_points_each, equipment_each : counted on the drawing.
    flow_m3_h : measured flow of the fill hose [m3/h].
    water : what fills the pool, each with its hours, where it is more than one hose that runs day and night.
    cement : strength class of the cement, from the mix design: R gains fast, N as usual, S slowly.
    concrete_mpa : specified 28-day strength [MPa]; a tested strength is a share of it.
    admixture : what the mix design adds for the set of every pour: nothing, a retarder, an accelerator.
    form_rated_kpa : pressure the form maker rates the wall forms for [kPa].
    trucks_each, truck_load_m3, truck_travel_h, truck_round_trip_h : ready-mix trucks that go round, most in one
        [m3], batching to arrival and site to site [h], as agreed with the plant.
    pump_m3_h : what the pump places [m3/h].
    pump_reach_m : from where trucks can stand to the farthest wall [m], paced on the site; ``None`` is not known.
    """

    basin: Basin
    form_thickness_m: float = 0.279
    core_m: float = 0.152
    form_height_m: float | None = None
    slab_m: float = 0.102
    edge_width_m: float = 0.41
    edge_depth_m: float = 0.15
    stone_m: float = 0.10
    working_space_m: float = 0.56
    dig_slope: float = 0.0
    coping_width_m: float = 0.305
    coping_depth_m: float = 0.10
    deck_width_m: float
    deck_m: float = 0.102
    soil: Soil
    reused_m3: float = 0.0
    fence_m: float
    pipe_m: float
    floor_pipe_m: float
    floor_steel_kg: float
    bond_points_each: float
    deck_joint_m: float
    equipment_each: float
    steel_kg: float | None = None
    spray_floor_m: float = 0.152
    spray_wall_m: float = 0.152
    rim_width_m: float = 0.305
    rim_depth_m: float = 0.305
    tile_band_m: float = 0.15
    tile_extra_m: float = 0.0
    care_visits_each: float = 10.0
    flow_m3_h: float = DEFAULT_FLOW_M3_H
    water: tuple[WaterSource, ...] = ()
    cement: CementClass = "N"
    concrete_mpa: float = 28.0
    admixture: Admixture = "none"
    form_rated_kpa: float = LEAST_RATED_KPA
    trucks_each: int = 2
    truck_load_m3: float = 7.6
    truck_travel_h: float = 0.5
    truck_round_trip_h: float = 1.25
    pump_m3_h: float = 20.0
    pump_reach_m: float | None = None

    def __post_init__(self) -> None:
        must_exist = {"form_thickness_m", "core_m", "form_height_m", "slab_m", "flow_m3_h", "concrete_mpa", "deck_m"}
        must_exist |= {"form_rated_kpa", "trucks_each", "truck_load_m3", "truck_travel_h", "truck_round_trip_h"}
        must_exist.add("pump_m3_h")
        for field in (entry.name for entry in fields(self)):
            left_out = field in MAY_BE_LEFT_OUT and getattr(self, field) is None
            if field in ("basin", "soil", "cement", "admixture", "water") or left_out:
                continue
            check = check_positive if field in must_exist else check_not_negative
            check(field, getattr(self, field))
        for field in ("form_thickness_m", "slab_m", "edge_width_m", "edge_depth_m", "stone_m", "working_space_m"):
            check_at_most(field, getattr(self, field), WIDEST_M)
        for field in ("spray_floor_m", "spray_wall_m", "rim_width_m", "rim_depth_m", "tile_band_m"):
            check_at_most(field, getattr(self, field), WIDEST_M)
        for field in ("coping_width_m", "coping_depth_m", "deck_width_m", "deck_m", "form_height_m"):
            if getattr(self, field) is not None:
                check_at_most(field, getattr(self, field), WIDEST_M)
        if self.mean_flow_m3_h <= 0:
            raise CannotDo("design.no_water", field="water")
        self._check_shell()

    def _check_shell(self) -> None:
        if self.soil not in get_args(Soil):
            raise CannotDo("design.unknown_soil", field="soil", soil=self.soil)
        if self.cement not in get_args(CementClass):
            raise CannotDo("design.unknown_cement", field="cement", cement=self.cement)
        set_shares(self.admixture)
        if self.core_m >= self.form_thickness_m:
            raise CannotDo("design.core_too_thick", field="core_m", core=self.core_m, form=self.form_thickness_m)
        shallow = self.basin.design_level_m - self.basin.wall_foot_level_m
        if self.wall_height_m < shallow - 1e-9:
            raise CannotDo(
                "design.form_too_low", field="form_height_m", form=self.form_height_m, shallow=round(shallow, 3)
            )

    @property
    def wall_height_m(self) -> float:
        """From the shallow floor to the top of the wall [m]."""
        if self.form_height_m is not None:
            return self.form_height_m
        return self.basin.max_level_m - self.basin.wall_foot_level_m

    @property
    def dig_offset_m(self) -> float:
        """From the water line to the dig face [m]."""
        return self.form_thickness_m + self.working_space_m

    @property
    def upper_dig_m(self) -> float:
        """Depth of the upper dig, from the top of the wall to under the stone of the shallow floor [m]."""
        return self.wall_height_m + self.slab_m + self.stone_m

    @property
    def tallest_wall_m(self) -> float:
        """The highest a wall's concrete stands at once [m]: to the deep floor where deep walls are upright."""
        return self.basin.max_level_m if self.basin.deep_wall_m2 > 0 else self.wall_height_m

    def wall_to_pour(self, ordered_m3: float) -> Wall:
        """The wall's concrete as one length at its tallest: lower parts only press less.

        Parameters
        ----------
        ordered_m3 : float
            Concrete ordered for it, coping and waste included [m3].

        Raises
        ------
        CannotDo
            A size outside the wall pour's plan.
        """
        length = self.basin.offset_length_m(self.form_thickness_m / 2)
        face_m2 = length * self.wall_height_m + self.basin.deep_wall_m2
        height = self.tallest_wall_m
        return Wall(core_length_m=face_m2 / height, height_m=height, core_m=self.core_m, ordered_m3=ordered_m3)

    @property
    def forms(self) -> Forms:
        """What holds the wall."""
        return Forms(rated_kpa=self.form_rated_kpa)

    @property
    def sources(self) -> tuple[WaterSource, ...]:
        """What fills the pool."""
        return self.water or (RunningWater(flow_m3_h=self.flow_m3_h),)

    @property
    def mean_flow_m3_h(self) -> float:
        """Water that comes in an hour, over day and night [m3/h]."""
        return day_of(self.sources).mean_m3_h

    @property
    def chemistry(self) -> float:
        """Chemistry coefficient of the wall pressure: portland cement, with or without a retarder."""
        return chemistry_factor("portland", retarder=self.admixture == "retarder")

    @property
    def supply(self) -> Supply:
        """What brings the wall's concrete."""
        return Supply(
            trucks_each=self.trucks_each,
            load_m3=self.truck_load_m3,
            travel_h=self.truck_travel_h,
            round_trip_h=self.truck_round_trip_h,
            pump_m3_h=self.pump_m3_h,
        )
