"""The sentences of findings, by name. A gap holds a quantity, other words, or a list of them; see `_said`."""

from __future__ import annotations

TEMPLATES = {
    "above_table": "at {at:.0f}, above the last row of its table, {last:.0f}: taken as none",
    "air_cannot_pass": "air cannot pass {part}: {length:.3g} of it have neither opening nor pocket",
    "air_speed": "{speed:.0f}; loss {loss:.2f}",
    "all_usual": "{sizes:g} sizes within what is usual",
    "along_port": "{size}, all along its port; how long that is, is not specified",
    "at": "at {at:.0f}",
    "at_best": "at best, {way}",
    "at_end_of_travel": "with {part} at {end} of its travel, {far:.3f} from the middle",
    "bent": "{bend}, K {K:.3f} (Rennels)",
    "best_fit": "{kind}: shift {shift:, |+z.3f}, turn {turn:+z.4f} about {about:[]|z.3f}, at most {most:.3f}, at {at}",
    "beyond_play": "drawn again, beyond the {holds}' play of {play:.2f}",
    "blended": "{owner} {slope}, up to {wide:.2f} wide along {edge:.1f} of edge: {metal:.0f} come off{until}",
    "bolt_circle": "{count:g} holes evenly on a {size} bolt circle",
    "boost_made": "they make {boost:.2f}",
    "bracket_narrow": "{part} is {width:.1f} wide at its narrowest, less than thick: its bending is not calculated",
    "breaks_through": "breaks through by {depth:.3f}",
    "by_each_other": "{size: × |.9g}",
    "cannot_be_done": "cannot be done: {way}, {near}",
    "cannot_fix": "cannot fix it: {best}, {left:z.1f} are left",
    "caution_brought": "brings a caution: {what}",
    "caution_left": "a caution is left: {what}",
    "chamfered_mouth": "chamfered mouth {length:.3g} long at {angle:g} (Idelchik)",
    "choked": "choked: demand is {share:.2f} times the choked flow; what lies behind is not calculated",
    "clamp_left": "{where}: {left:.2f} of clamp is left of {clamp:.2f}",
    "clears": "clears {clears:, }",
    "costs_area": "costs {area:.0f} of {of}",
    "cure": "{changes}: {effects}",
    "cut_larger": "cut its opening larger by up to {by:.2f}: gasket.overhang",
    "deeper": "{name} {by:g} deeper",
    "deviation": "{what}: {off:+z.3f} off; allowed {allowed: to |+g}",
    "enlarged": "{owner} by up to {by:.2f} along {edge:.1f} of edge, {area:.1f}",
    "even_row": "an even row of {count:g} holes at {size} pitch",
    "fails": "fails: {what}",
    "farther_off": "farther off its limit: {what}",
    "fuel": "{fuel}, lambda {lam:g}{lam_from}, duty {duty:g}{duty_from}; {mixture}",
    "give": "give {area:.0f}",
    "give_nothing": "give nothing",
    "grid": "a full grid of {rows: × |g} holes over {size}",
    "groove_not_in_bore": "the groove's floor of {groove:g} is no smaller than the bore of {bore:g}",
    "hardly_burns": "lambda {lam:g} hardly burns: {burns: to |g} do (common practice, no source)",
    "has_thickness": "{owner} has {thickness:g}",
    "holds_as_drawn": "as drawn it holds; at the 95 % worst over survey and play {area:.1f} stand in the flow",
    "holds_at_worst": "holes of at least {hole:.2f} hold at worst",
    "hole_below_bolt": "a hole at {spot} is {hole:g}, the bolt {bolt:g}",
    "idler_in_pulled_span": (
        "it stands in a span that {drives} pulls and bears {load:.0f} there; it belongs between {drives} and "
        "{first}, where the belt leaves {drives}"
    ),
    "injectors_and_bores": "{injectors:g} injectors are stated, and the rails have bores for {bores:g}",
    "jet": "Mach {mach:.2f}, loss {loss:.2f} ({bounds: to |.2f})",
    "jet_chokes": "choked: demand is {share:.2f} times the choked flow",
    "larger_mouth": "mouth radius {radius:+g}",
    "larger_mouth_at": "mouth radius {radius:+g} at {name}",
    "larger_opening": "{name} {by:g} larger all round",
    "largest_loss": "{name}, {method}: {ways}",
    "least_at_temperature": "least at {at:g}",
    "least_at_travel": "least at {at} of {travel:.2f} of travel",
    "least_over_travel": "least over {travel:.2f} of travel",
    "leaves_wall": "it leaves {left:.2f} to {name}, the limit for walls is {limit:g}",
    "left_at": "{hole} {left:.3f}",
    "length_given": "as specified {thread} x {length:g}",
    "bottoms": "the bolt bottoms: it reaches {over:.2f} past the end of the thread",
    "length_proposed": "with {thread} x {length:g}, as proposed",
    "length_to_use": "use {thread} x {length:g}",
    "limit_costs": "{name} costs {cost:.0f}",
    "limit_moves": "{name} costs {cost:.0f}; moving it outward {move:g} would {given}",
    "load_not_held": "load {load} acts on joint {joint}: {why}",
    "lose": "lose {area:.0f}",
    "loss": "{loss:.2f}, {column:.1f}",
    "loss_by_field": "{field}: {loss:.2f} ({bounds: to |.2f}), with straight ducts",
    "loss_is_larger": "Mach {mach:.2f}, where the true loss is larger",
    "loss_within": "{loss: to |.2f} by the uncertainty of the chamber's loss",
    "mass_up": "mass up by {mass:.2f}",
    "method": "{method}{on}",
    "misses": "with all tolerances used up {joint} misses by {by:.3f}; its chance is that of one joint alone",
    "mitre_bend": "mitre bend of {angle:g}{capped}",
    "mixture": "all injectors open, the air-fuel ratio is {ratio:.3g}, {burns:.3g} burns all of the fuel",
    "mouth_not_chamfer": "mouth radius of {radius:.3g}, not a chamfer,",
    "move": "{owner} by {by:.2f} ({along_x:+z.2f} along X, {along_y:+z.2f} along Y)",
    "moved": "{way}, {how}: {left:z.1f} are left, no metal comes off",
    "name_the_fuel": "name the fuel, `kind` of the design's `fuel`, with its `lambda` and `duty`; as petrol, {mixture}",
    "no_fuel_named": "no fuel is named: too little even of petrol at lambda {lam:g} and duty {duty:g}; {mixture}",
    "no_gasket_values": "the catalog has no values for {material} {thick:g} thick, or the joint has one bolt",
    "no_hole_starts": "no clearance hole lets 99.9 % of {samples:,.0f} samples start: the dowels do not",
    "no_longer_checked": "no longer checked: {what}",
    "no_stock_length": "no stock length for a grip of {grip:.2f}",
    "no_stock_length_in_thread": "no stock length for a grip of {grip:.2f} and up to {thread:.2f} of thread",
    "no_strength_at": "the catalog has no strength of {metal} at {at:.0f}",
    "nominal": (
        "{begin} {shape} (largest misfit {misfit:.3f} at {at}, chi-square {chi:.1f} of {of:g}); proposed, not "
        "used: {spelled}"
    ),
    "not_reached": "the cutter cannot come there from {origin}; a start at {start:[]|z.3f} would reach it",
    "not_sold": "{thread} x {length:g} is not sold; the nearest is {thread} x {nearest:g}",
    "nothing_nearer": "nothing else comes nearer than {window:g}",
    "nothing_within": "nothing within {far:g}",
    "of_four": "a {size} rectangle",
    "of_joint": "{joint}: {why}",
    "off_plane": "it stands {off:.2f} out of the driving pulley's plane, {side}",
    "oil": "viscosity from {source}; density {density:g}, common practice, no source",
    "one_by_one": "{size:, |.9g}",
    "one_usual": "{sizes:g} size within what is usual",
    "open_holes": "open the clearance holes to {hole:.1f}: 99.9 % start",
    "openings_for_cylinders": "{openings:g} openings for {cylinders:g} cylinders",
    "opens_deeper": "{deeper:.3f} deeper opens it fully",
    "or_guide": "or a guide at least {guide:.2f} long at the mouth",
    "or_taper": "or a taper shim rising {along_x:+z.3f} along X and {along_y:+z.3f} along Y: shim.squares",
    "overlap": "they overlap by {volume:.1f}",
    "part_of_way": "{share:.0f} of the way to {end}",
    "piece": "{area:.0f} in {pieces:g} piece",
    "pieces": "{area:.0f} in {pieces:g} pieces",
    "placed": "{upper} placed on {lower}, in the joint's frame: {fits}; left at {left:, }",
    "wider_than_port": (
        "{before} is {area:.0f} wider there than {after}, over a quarter of its opening: right where a plenum ends at "
        "a smaller port, a mismatch where two ports meet"
    ),
    "plenum_wall": (
        "{before} is {area:.0f} wider there than {after}: plenum wall, not a port mismatch; the airflow check "
        "calculates its loss"
    ),
    "preload_left": "{preload: to |.2f}",
    "pulley_for_speed": "the air model's speed needs a pulley of {size:.2f}",
    "punch": "transfer-punch the holes from the other part (zone {zone:g})",
    "read_again": "{slip}: read it again",
    "ream": "ream {names} alone to {holes: and |.1f}",
    "rectangle": "{count:g} holes, {rows: and |g} along the sides of a {size} rectangle",
    "remedy": "{name}: {words}",
    "resonance": (
        "rough, without injectors, fuel and lines: {own:.0f}, firing {firing:.0f} at {speed:g}; the firing meets "
        "it at {meets:.0f}; order {order:.2f} at full speed, the nearest half order is {half:g}"
    ),
    "rocks": "{corner} lies {off:+z.3f} over it: the seat rocks, or is twisted as it is pulled down",
    "round_bend": "bend of {angle:g} round {radius:g}",
    "rounded_mouth": "rounded mouth r {radius:g} (Crane)",
    "row": "a straight row of {count:g} holes, {size} from the first",
    "saves": "{way} saves {loss:.3f}",
    "share": "{name} {share:.1f}",
    "shares": "{shares:, }; each as if it alone drew air, at a steady flow",
    "shim_at": "{more:.2f} more at {corner}",
    "shims": "square with {more:, }",
    "short_chamfer": (
        "chamfered mouth {length:.3g} long at {angle:g}, shorter than Idelchik's table begins, taken as sharp: "
        "sudden contraction (Crane)"
    ),
    "slip": "{reads:g} {how} is {meant:.6g}",
    "slip_of": "{id}: {slip}",
    "slips": "{slips}; left out of the checks on what was cut, which are run on what was drawn there",
    "slope": "{deep:.1f} deep, {times:g} times its width ({source})",
    "slot": "slot {names} by {by:g} towards the middle of the pattern",
    "slots_may_take_up": "{words}, {off:.3f} off each other; its slots may take that up",
    "spaced_out": "{bracket} moves out by {out:.3f}: shim its other side by as much, or set this side back",
    "spaced_out_evenly": "{bracket} moves out by {out:.3f}",
    "starts": (
        "99.9 % start with holes of {hole:.2f} ({interval: to |.2f} with 95 % confidence, {samples:,.0f} samples)"
    ),
    "starts_from": (
        "99.9 % start with holes of {hole:.2f} ({low:.2f} or more with 95 % confidence, {samples:,.0f} samples)"
    ),
    "steps": "{steps: and }",
    "stud_may_turn": (
        "its nut is tightened{torque}, and nothing states what keeps the stud from turning with it: set it with a "
        "locking compound or hard on its thread's end, and watch it as the nut goes on and comes off"
    ),
    "studs_at_angle": (
        "its studs stand {angle:.1f} to each other, in {owners}: it goes on only where one of these can be "
        "brought to it afterwards"
    ),
    "surveyed": "{file}: {readings:g} readings and diameters, {redundant:g} redundant",
    "suspect": "{off:.2f} too {too}{why}; read it again",
    "suspect_in_picture": "{off:.2f} off; look at the picture again",
    "suspect_off_line": "off the line by {off:.2f}; look again",
    "suspect_others": " (or as well: {others}: the readings do not show which)",
    "suspect_reading": "{reading}: {say}{instead}",
    "suspect_shared": "by the readings {found}, which is not as stated; measure it and state it",
    "taken_as": ", taken as {angle:g}",
    "taper_unread": (
        "the stack stands square over {part}, {thick:.3f} thick in the middle of the bolts; no `level` readings "
        "state what its taper squares"
    ),
    "tension_needed": "fit the belt with {tension:.0f}, or give more wrap, ribs or a larger pulley",
    "tension_not_limited": (
        "the greatest tension is {tension:.0f}; the spec has no `allowed_tension` of the belt's maker"
    ),
    "throat": "{area:.0f} {between}, {share:.0f} of {of}",
    "through_metal": "{size} through {thickness:g}: {metal:.0f} come off",
    "top_by_gaskets": "gaskets below it leave its top {by: to |+z.3f} from {top:z.3f}",
    "unread": "{unread:g} of {of:g} measures of {file} are not filled in: {ids: to }",
    "usual": "usual {least:g} to {most:g}{of}; check the unit",
    "usual_land": "common practice: {usual:g}, {least:g} minimum",
    "weak": "{file}: {words}{more}",
    "weak_reading": (
        "a misreading of {reading} by up to {least:.2f} could go unnoticed and move {hole} by {shift:.2f}; {cure}"
    ),
    "weak_unchecked": "nothing checks {reading}: a misreading there moves {hole} unnoticed; {cure}",
    "wedge": (
        "it runs true under this load on a wedge that rises {rise:.3f} along {along:[]|z.2f} of the plate's plan, "
        "or with as much filed off the other side of its back"
    ),
    "with_torque": " with {torque:.1f}",
    "within_play": "within the {holds}' play of {play:.2f}",
    "worse_than_accepted": "{check} on {feature} is now {now:.4g}, and is accepted to {accepted:g}: look at it again",
    "worst_bolt": "worst bolt {bolt}",
    "worst_bolt_under": "worst bolt {bolt}, with {loads}",
    "would_leave": "{way}: {left:.2f} left at worst",
    "would_start": "{way}: {share:.2f} start",
    "zone_general": "{owner}: up to {zone:.2f}, about coordinates to {source}, since none is specified",
    "zone_read": "{owner}: as read on the finished part to {sigma:.3g}",
    "zone_specified": "{owner}: {zone:g}, the spec",
    "zones": "zones: {lower}; {upper}",
    "zones_read": "{zones}, {read:g} of {holes:g} holes as read on the finished part",
}
