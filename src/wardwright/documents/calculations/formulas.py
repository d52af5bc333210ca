"""The formulas of the calculation sheets by subject, each with its source and its name on the command line."""

from wardwright.documents.calculations.records import Formula

TEXTBOOK = "textbook"

BATTERY = (
    Formula("Q = Σ I t · max(1, I / I₂₀)^(p − 1)", "FXSOLVER-PEUKERT"),
    Formula("C₂₀ = Q · k(cold) · k(ageing) · k(margin)", "IEEE485"),
    Formula("k(cold) by temperature", "IEEE485-CHART", "sizing_temperature_factor"),
    Formula("V = E₀ − K Q/(Q − it) (it + i) − R i + A exp(−B it)", "TREMBLAY-DESSAINT-2009", "standby_hours"),
    Formula("recharge t = k C (s − s₀) / I in bulk, then τ = k C (1 − s) / I", "UPS-NOTE-7", "recharge_hours"),
    Formula("1/L = Σ f / (L₂₀ · 2^(−(T − 20)/10))", "BATTERY-LIFE-10K"),
)
CELL = (
    Formula("I = I(sleep) + Σ N Q / 86 400 s", "conservation of charge"),
    Formula("t = C η / (I + C s / 8760 h)", "conservation of charge", "cell_life"),
)
VOLTAGE = (
    Formula("R = 2 L r + n r(joint)", TEXTBOOK, "loop_resistance"),
    Formula("R(T) = R₂₀ (1 + α (T − 20))", "GOST22483-2021", "temperature_correction"),
    Formula("r of standard sections", "IEC60228-2004", "maximum_resistance_iec60228"),
    Formula("G V + I + g V + P/V = b at every node, all loads at once", "TAHERI-KEKATOS-2018"),
    Formula("the supply collapses where the load multiplier lets no solution be found", "JEENINGA-2020"),
    Formula("short at the far end: I = V / R", "FUSE-DERATING", "short_circuit_current"),
)
LOOP = (
    Formula("x = R / (R + R(pull-up)), share of the reference", TEXTBOOK, "level"),
    Formula("R = a b / (a + b) for leakage and resistors across the pair", TEXTBOOK, "parallel"),
    Formula("bounds at the corners of all tolerances, since x rises with every R and falls with pull-up", "computed"),
    Formula("gap = lower bound of the upper state − upper bound of the lower − 2 × error of the input", "computed"),
    Formula("preferred resistor values", "IEC60063", "preferred_values"),
)
CABLE = (
    Formula("time = metres × minutes a metre + Σ holes; the way of least time is laid", "DIJKSTRA-1959"),
    Formula("drop = 2 L r (1 + α (T − 20)) I", "IEC60228-2004", "loop_resistance"),
)
RADIO = (
    Formula("free space: 20 log₁₀(4 π d / λ)", "ITU-P525", "free_space_loss"),
    Formula("each wall: its layers on the line at its angle", "ITU-P2040-4"),
    Formula("L(free) + Σ k L(wall) + k_f^((k_f+2)/(k_f+1) − 0.46) L(floor)", "COST231", "multi_wall_loss"),
    Formula("20 log₁₀ f + N log₁₀ d + L(floors) − 28", "ITU-P1238", "indoor_loss_by_floors"),
    Formula("reserve = level at the receiver − weakest it takes", "computed"),
    Formula("collisions: 1 − exp(−2 (n − 1) τ / T)", TEXTBOOK, "collision_share"),
)
CONTACT = (
    Formula("field of a rod magnet, by elliptic integrals, averaged along the reed", "DERBY-OLBERT-2010", "reed_field"),
    Formula("over steel: less the field of the image", TEXTBOOK, "reed_field"),
)
GLASS = (
    Formula("thump: 20 log₁₀(V₀/V) + 20 log₁₀(a b / a₀²)", "pressure of a volume displaced, computed", "thump_margin"),
    Formula("shatter: −10 log₁₀(Q/4πr² + 4B/R) + α r, here and in the reference room", TEXTBOOK),
    Formula("α of air", "ISO9613-1-1993", "air_absorption"),
    Formula("chance = Φ(margin / 5 dB)", "assumption", "heard"),
)
BEAM = (
    Formula("gain = G₀ (R₀/R)² · 10^(−α R / 10)", TEXTBOOK, "excess_gain"),
    Formula("α of fog by visibility (Kruse)", "from memory", "fog_loss"),
    Formula("broken for t = w / v", "geometry", "block_time"),
)
SIGNAL = (
    Formula("in series: up = Π (1 − U), U the share of time each is down", "AVAILABILITY-PAGES"),
    Formula("both down: (1 − β)² U₁ U₂ + β min(U₁, U₂), β the common cause", "from memory", "in_parallel"),
)
SOUND = (
    Formula("L_W = L(1 m) + 10 log₁₀(4π/Q)", TEXTBOOK, "sound_power"),
    Formula("in a room: L_W + 10 log₁₀(Q/4πr² + 4/R)", TEXTBOOK, "room_transfer"),
    Formula("through doors and walls: energy balance of all rooms; one wall L₁ − R + 10 log₁₀(S/A)", TEXTBOOK),
    Formula("in the open: L(r₀) − 20 log₁₀(r/r₀)", TEXTBOOK, "free_field"),
    Formula("together: 10 log₁₀ Σ 10^(L/10)", "NOISE-ADDITION-PAGES"),
)
WALK = (Formula("t = way / pace, the way round walls and furniture", "DIJKSTRA-1959"),)
MOTION = (
    Formula("power on the element: Σ facets of (difference of radiance) × area × solid angle", "MUKHOPADHYAY-2018"),
    Formula("output: thermal, electrical and band-pass response of the element", "ODON-2015"),
    Formula("threshold: the peak of a walk across at the rated range; margin 20 log₁₀(peak / threshold)", "computed"),
)
SITING = (
    Formula("height and bearing of the sun", "USNO-SUN", "sun_direction"),
    Formula("a patch warms by ΔT = 2 q/e √(t/π)", TEXTBOOK, "surface_rise"),
    Formula("microwave through the wall's layers", "ITU-P2040", "sheet_loss"),
)
WAY_IN = (Formula("chance = 1 − Π (1 − p) over the devices that notice", "independence, a bound where it fails"),)
ROUTE = (
    Formula("P = 1 − Π (1 − p) over what has noticed before the target", "EASI-1977"),
    Formula("confirmed: 1 − Π(1 − p) − Σ p Π(1 − p of the others), by independent zones", "computed"),
    Formula("the quietest, the fastest and the best-timed way", "DIJKSTRA-1959"),
)
PROGRAMME = (
    Formula("every state the programme can reach is entered; clocks by zones of differences", "ALUR-DILL-1994"),
)
READING = (Formula("a reading outside model error and instrument error together cannot be true", "assumption"),)
