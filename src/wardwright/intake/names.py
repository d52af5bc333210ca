"""What a name says: a room's use, a thing's nature, a material, in English, German, French, Spanish and a few more.

Words are matched on folded text (no accents, lower case). The lists are from memory of the trade's words.
"""

import re
import unicodedata

from wardwright.premises.fabric import RoomUse

# Order matters: the first list that matches wins, so narrow words come before wide ones.
_USES: tuple[tuple[RoomUse, str], ...] = (
    (RoomUse.CRAWL_SPACE, r"crawl ?space|kriechkeller|vide sanitaire"),
    (
        RoomUse.GARAGE,
        r"garage|carport|car port|stellplatz|tiefgarage|cochera|garaje|parking|cochere",
    ),
    (RoomUse.WORKSHOP, r"workshop|werkstatt|atelier|taller|hobbyraum|hobby|bastel\w*"),
    (
        RoomUse.SHOP,
        r"shop|sales|store front|showroom|laden|verkauf\w*|"
        r"boutique|magasin|tienda|comercio|ausstellung",
    ),
    (
        RoomUse.CONSERVATORY,
        r"conservatory|sun ?room|wintergarten|veranda|"
        r"jardin d.hiver|galeria acristalada|solarium",
    ),
    (
        RoomUse.BATHROOM,
        r"bath\w*|bad|badezimmer|gaste ?bad|duschbad|dusch\w*|shower\w*|"
        r"en ?suite|wc|w\.c\.?|toilet\w*|lavatory|restroom|"
        r"powder( room)?|cloak ?room|salle de bains?|salle d.eau|sdb|"
        r"douche|toilettes?|bano|aseo|ducha|badkamer|bagno",
    ),
    (
        RoomUse.KITCHEN,
        r"kitchen\w*|kitchenette|koch\w*|kuche\w*|wohnkuche|teekuche|"
        r"cuisine|cocina|keuken|cucina|pantry|scullery",
    ),
    (
        RoomUse.DINING,
        r"dining\w*|breakfast\w*|ess(en|zimmer|platz|bereich)|speise\w*|salle a manger|sejour repas|comedor",
    ),
    (
        RoomUse.STAIR,
        r"stair\w*|stairwell|treppe\w*|treppenhaus|treppenraum|"
        r"escaliers?|cage d.escalier|escaleras?|trapp\w*|scala",
    ),
    (RoomUse.LANDING, r"landing|galerie|gallery|empore|palier|mezzanine|rellano|descansillo|distribuidor"),
    (
        RoomUse.BEDROOM,
        r"bed ?rooms?|bed ?rm|br ?\d*|master( suite| bed.*)?|"
        r"guest ?rooms?|nursery|child\w*( room)?|kids?( room)?|"
        r"schlaf\w*|kinder\w*|kind|eltern\w*|gast(e|ezimmer)?|schlafen|"
        r"chambres?|chambre a coucher|dormitorios?|"
        r"habitacion(es)?|alcoba|slaapkamer|camera( da letto)?",
    ),
    (
        RoomUse.STUDY,
        r"study|home office|den|library|buro|buero|arbeits\w*|bibliothek|"
        r"bureau|bibliotheque|despacho|estudio|biblioteca",
    ),
    (
        RoomUse.OFFICE,
        r"office\w*|open plan|meeting\w*|conference\w*|consult\w*|surgery|"
        r"praxis|besprechung\w*|salle de reunion|oficina",
    ),
    (
        RoomUse.LIVING,
        r"living\w*|lounge|sitting( room)?|great ?room|family( room)?|"
        r"parlou?r|drawing room|wohn\w*|wohnen|stube|"
        r"salon|sejour|salle de sejour|sala|salon comedor|estar|woonkamer|soggiorno|media( room)?|tv",
    ),
    (RoomUse.PORCH, r"porch|vestibule|windfang|entree|sas( d.entree)?|zaguan|lobby"),
    (
        RoomUse.HALL,
        r"hall\w*|foyer|entr(y|ance)\w*|corridor\w*|passage\w*|circulation|"
        r"flur\w*|diele|gang|korridor|eingang\w*|vorraum|"
        r"vorzimmer|couloir|entree|degagement|pasillo|vestibulo|recibidor|entrada|corridoio|gangen?",
    ),
    (
        RoomUse.PLANT,
        r"plant( room)?|mechanical|boiler( room)?|heiz\w*|technik\w*|"
        r"haustechnik|hausanschluss\w*|har|hwr ?technik|server\w*|"
        r"electrical( room)?|elektro\w*|chaufferie|local technique|"
        r"cuarto de (maquinas|caldera)|sala de maquinas",
    ),
    (
        RoomUse.UTILITY,
        r"utility|laundry|wash ?room|hauswirtschaft\w*|hwr|wasch\w*|"
        r"buanderie|cellier|lavadero|lavanderia|mud ?room",
    ),
    (
        RoomUse.ATTIC,
        r"attic\w*|loft|dach(boden|raum|geschoss)?|speicher|"
        r"spitzboden|combles|grenier|atico|desvan",
    ),
    (RoomUse.BASEMENT, r"basement|cellar\w*|keller\w*|untergeschoss|cave|sous.?sol|sotano|bodega"),
    (
        RoomUse.STORE,
        r"stor(e|age|es)( ?room)?|closet\w*|wic|w\.i\.c\.?|walk.?in\w*|"
        r"cupboard\w*|wardrobe\w*|linen|lager\w*|abstell\w*|"
        r"ankleide\w*|garderobe|vorrat\w*|speis|kammer|archiv\w*|rangement|"
        r"placards?|dressing|debarras|reserve|trastero|"
        r"almacen|despensa|armario|vestidor|shed",
    ),
)
_USE_PATTERNS = tuple((use, re.compile(rf"(?<![a-z])(?:{words})(?![a-z])")) for use, words in _USES)
_OUTDOORS = re.compile(
    r"(?<![a-z])(?:balcon\w*|balcony|balkon\w*|terra(ce|za|sse|ssen|"
    r"zza)\w*|dachterrasse|patio|deck|decking|loggia|"
    r"yard|courtyard|innenhof|hof|jardin|garden|garten|cour|"
    r"patio exterior|roof|roof terrace|exterior|outdoors?|outside|"
    r"aussen\w*|freisitz|carport|car port|covered (porch|patio|deck))(?![a-z])"
)
_COMPOUND_TAILS = ("zimmer", "kuche", "raum", "keller", "bad", "flur", "terrasse", "balkon", "garage")


def folded(text: str) -> str:
    """Lower case without accents, digits kept, everything else a single space.

    Parameters
    ----------
    text : str
        Any name.

    Returns
    -------
    str
        The same in plain letters.
    """
    text = text.replace("ß", "ss").replace("_", " ").replace("-", " ")
    plain = unicodedata.normalize("NFKD", text)
    plain = "".join(c for c in plain if not unicodedata.combining(c)).lower()
    return re.sub(r"\s+", " ", re.sub(r"[^a-z0-9. ']", " ", plain)).strip()


def room_use(name: str) -> RoomUse:
    """What a room is for, by its name.

    Parameters
    ----------
    name : str
        Name in the source; several words and numbers allowed.

    Returns
    -------
    RoomUse
        ``OTHER`` where no word is known.
    """
    text = folded(name)
    for use, pattern in _USE_PATTERNS:
        if pattern.search(text):
            return use
    # German writes compounds in one word: "Elternbadezimmer", "Gästeflur".
    for use, pattern in _USE_PATTERNS:
        if any(word.endswith(tail) and pattern.search(tail) for word in text.split() for tail in _COMPOUND_TAILS):
            return use
    return RoomUse.OTHER


def is_outdoors(name: str) -> bool:
    """True when a space's name says that it lies under the sky or beyond the walls.

    Parameters
    ----------
    name : str
        Name in the source.
    """
    return bool(_OUTDOORS.search(folded(name)))


_MATERIALS: tuple[tuple[str, str], ...] = (
    ("plaster and lath", r"lath|spalier"),
    (
        "plasterboard",
        r"plaster ?board|gypsum|gips ?karton\w*|gips\w*|gkb|rigips|"
        r"dry ?wall|wall ?board|placo\w*|platre|yeso|pladur",
    ),
    (
        "insulation",
        r"insul\w*|damm\w*|warmedamm\w*|wdvs|eps|xps|mineral ?wo\w*|wool|rock ?wool|"
        r"isolant|isolation|aislamiento|aislante|foam|pur|pir",
    ),
    ("air", r"air|luft\w*|cavity|hohl\w*|lame d.air|camara|misc\w* air.*"),
    ("glass", r"glass|glas|glazing|verglas\w*|verre|vidrio|vitrage"),
    (
        "block",
        r"cmu|block\w*|masonry unit\w*|kalksand\w*|ks|poren ?beton|"
        r"gas ?beton|ytong|parpaings?|bloques?|aac",
    ),
    ("brick", r"brick\w*|ziegel\w*|mauerwerk\w*|klinker\w*|backstein\w*|briques?|ladrillos?|masonry|mattoni"),
    ("stud", r"studs?|stud ?work|stander\w*|metal stud.*|ossature|montantes|furring|batten\w*"),
    (
        "concrete",
        r"concrete|beton\w*|leicht ?beton\w*|stahlbeton\w*|hormigon|screed|"
        r"estrich|cement\w*|zement\w*|mortar|render\w*|stucco",
    ),
    ("stone", r"stone\w*|naturstein\w*|sandstein\w*|granit\w*|pierre|piedra|marble|marmor"),
    (
        "timber",
        r"timber|wood\w*|holz\w*|osb|plywood|chipboard|mdf|spanplatte\w*|"
        r"bois|madera|siding|clt|lumber|softwood|hardwood",
    ),
    ("steel", r"steel|stahl\w*|metal\w*|alumin\w*|acier|acero|iron|blech\w*"),
    ("plasterboard", r"plaster\w*|putz\w*|innenputz|enduit|revoco|enlucido|paint|anstrich"),
)
_MATERIAL_PATTERNS = tuple((key, re.compile(rf"(?<![a-z])(?:{words})(?![a-z])")) for key, words in _MATERIALS)


def material_key(name: str) -> str:
    """Key of the material tables for a material's name in a drawing.

    Parameters
    ----------
    name : str
        For example ``Masonry - Concrete Block``, ``Leichtbeton``, ``Plâtre BA13``.

    Returns
    -------
    str
        One of the keys of :class:`~wardwright.premises.fabric.Layer`; ``unknown`` where no word is known.
    """
    text = folded(name)
    for key, pattern in _MATERIAL_PATTERNS:
        if pattern.search(text):
            return key
    return "unknown"


BED = re.compile(
    r"(?<![a-z])(?:beds?|bunk ?bed|cot|bett|betten|doppelbett|einzelbett|"
    r"lits?( \d+| double| simple)|lits|cama|camas)(?![a-z])"
)
NOT_BED = re.compile(r"bed ?(side|room|table)|nachttisch|nacht ?konsole")
HEAT: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (kind, re.compile(rf"(?<![a-z])(?:{words})(?![a-z])"))
    for kind, words in (
        (
            "radiator",
            r"radiators?|heizkorper\w*|radiateurs?|radiadores?|"
            r"radiador|panel heater|convector\w*|konvektor\w*",
        ),
        (
            "boiler",
            r"boilers?|water heater|heizkessel|therme|gastherme|"
            r"warmwasser\w*|chaudiere|caldera|calentador|furnace",
        ),
        ("fireplace", r"fire ?place|kamin|cheminee|chimenea"),
        (
            "cooker",
            r"cooker|range|hob|stove ?top|cook ?top|herd|kochfeld|"
            r"cuisiniere|plaque de cuisson|placa de coccion",
        ),
        ("oven", r"oven|backofen|ofen|horno"),
        ("stove", r"stove|kachelofen|poele|estufa"),
        ("heater", r"heaters?|heizlufter|unit heater|baseboard"),
        (
            "air vent",
            r"diffuser|air terminal|grille|supply air|fan coil|"
            r"luftauslass|luftungs\w*|bouche|difusor",
        ),
    )
)
ENTRANCE = re.compile(
    r"(?<![a-z])(?:front|entrance|entry|main|hauseingang\w*|haustur|"
    r"haustuer|eingang\w*|wohnungs\w*|entree|porte d.entree|"
    r"principal|entrada)(?![a-z])"
)
GARAGE_DOOR = re.compile(
    r"(?<![a-z])(?:garage\w*|overhead|sectional|roller (door|shutter)|"
    r"roll ?up|rolltor|sektionaltor|schwingtor|kipptor|"
    r"garagentor|porte de garage|puerta de garaje|o\.?h\.? door)(?![a-z])"
)


def heat_kind(name: str) -> str | None:
    """Kind of heat source a fitting's name speaks of, or None.

    Parameters
    ----------
    name : str
        Name and type of the fitting.
    """
    text = folded(name)
    return next((kind for kind, pattern in HEAT if pattern.search(text)), None)


def is_bed(name: str) -> bool:
    """True when a piece of furniture is a bed.

    Parameters
    ----------
    name : str
        Name and type of the piece.
    """
    text = folded(name)
    return bool(BED.search(text)) and not NOT_BED.search(text)
