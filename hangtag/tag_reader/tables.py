"""The words every tag shares, whatever the book: spellings, fillers, bounds, parts, what is no gear figure.

All are folded. They go into the data of a Reader, so that the browser has the same. Must not know entries or units.
"""

from __future__ import annotations

_SPELT = """
gr gm gms grm grms gramm gramme grammes gram grams = g
kgs kilo kilos kilogramme kilogrammes kilogram kilograms kilogramm = kg
ozs onz ounce ounces onces ounes = oz
lbs pound pounds pund = lb
ltr ltrs lt lts liter liters litre litres litr litter litters = l
inches inch ins inchs = in
foot feet = ft
millimeter millimeters millimetre millimetres milimeter milimeters milimetre milimetres mms = mm
centimeter centimeters centimetre centimetres cms = cm
meter meters metre metres mtr mtrs = m
deniers deneir dernier denir dener dinier den = denier
decitex decatex = dtex
celcius celsius centigrade = c
farenheit fahrenheit farenheight fahrenheight = f
deg degs degree degrees = °
percent percents pct prozent = %
cuin = cu in
sqft = sq ft
temperatur temperture temprature temp = temperature
confort comfrt = comfort
wt weigth wieght wght weights weighing weigh weighs = weight
fillweight = fill weight
fillpower = fill power
fibre fibres fibers = fiber
vapor = vapour
draught = draft
grey = gray
stabilised stabilized = stabilised
siliconised siliconized siliconed siliconised = siliconised
ripstp ripstock ripstopp ripstops ripp = ripstop
taffetta tafetta taffata = taffeta
polester polyster poliester polyesther polyestr = polyester
nylom nilon nyln = nylon
polyurethan polyuretane polyurethene = polyurethane
silcone silicon sillicone silikon = silicone
waterprof waterproff watterproof wasserproof waterpoof = waterproof
breatheable breathble breathible = breathable
breathabilty breathibility = breathability
hydrostastic hydrostatc hydostatic hidrostatic hydrostic = hydrostatic
hed = head
colum collumn = column
coloumn = column
wnd = wind
sleepng sleping slepping = sleeping
min minimun minium minimal = minimum
cap capacty = capacity
comf = comfort
rec = recommended
avg = average
max maximun maxium maximal = maximum
vestibul vestibules vestible = vestibule
membran membranes = membrane
insulaton insultation = insulation
baffels baffel = baffles
tapped = taped
permeabilty permeabilitiy perm = permeability
"""
SAME = {
    wrong: right
    for line in _SPELT.strip().splitlines()
    for wrongs, right in [line.rsplit(" = ", 1)]
    for wrong in wrongs.split()
    if wrong != right
}

# Words after which a point is part of the word, not the end of a sentence.
ABBREVIATED = """
min max approx sq cu lb oz in ft weight ca circa avg temperature no ref art incl excl wt vol cap hr hrs denier dia
rec comf permeability cap comp circ est
""".split()

# What may stand between a label and its number.
FILLERS = ": = - ( ) of is are at was the a an".split()

# Words before a number that bound it; the longest that stands there counts.
BOUNDS = {
    "at least": "at least",
    "no less than": "at least",
    "not less than": "at least",
    "more than": "at least",
    "over": "at least",
    "from": "at least",
    "minimum": "at least",
    ">": "at least",
    "≥": "at least",
    "at most": "at most",
    "no more than": "at most",
    "not more than": "at most",
    "less than": "at most",
    "up to": "at most",
    "under": "at most",
    "below": "at most",
    "maximum": "at most",
    "<": "at most",
    "≤": "at most",
    "about": "about",
    "around": "about",
    "approx": "about",
    "approximately": "about",
    "aprox": "about",
    "roughly": "about",
    "nominal": "about",
    "nearly": "about",
    "circa": "about",
    "ca": "about",
    "~": "about",
    "±": "about",
}

# Parts of a product: a word at the start of a stretch, or the only one in it, names the part its readings belong to.
PARTS = """
fly flysheet rainfly floor groundsheet tub inner outer mesh canopy shell liner lining body sleeves sleeve hood upper
midsole outsole insole bottom face backer footbox padding porch vestibule yoke cuffs hipbelt straps lid hem
""".split()

# Parts only where a colon follows: the words have other uses.
PARTS_WITH_COLON = """
base top back front roof wall walls side sides panel panels pocket pockets frame collar tongue shoulders insert zone
zones
""".split()

# Words after which a part's word is none: `floor area`, `body weight`.
MEASURES = "weight area height length space width size depth insulation".split()

# Words that say a length is no claim this reader knows: of size and of things beside the cloth.
LENGTHS = """
length long wide width diameter dia size sizes dimension dimensions dim thick thickness tall high height girth chest
waist hip hips inseam sleeve user hiker pole poles guyline guylines cord cords peg pegs stake stakes stick sticks
webbing ridgeline ridge span gauge strap straps zip zips zipper zippers buckle buckles lengths box collar map
""".split()

# Words that say this of any figure: of price, care, time, light, post, people.
ELSEWHERE = """
price cost shipping ship ships shipped delivery post postage parcel carton wash washed washing iron ironing tumble
tear tearing strength breaking softener storage boil cook oven warranty guarantee returns member members vote votes
review reviews star stars lumen lumens lux km kilometre kilometres kilometer kilometers mile miles altitude
elevation walk hike discount off sale voucher stock bottle bottles child children years year months days hours
""".split()

MONEY = "$ € £ ¥ ₹ usd eur gbp chf cad aud nzd sek nok dkk jpy euro euros dollar dollars pounds-sterling".split()
MONTHS = """
january february march april may june july august september october november december jan feb mar apr jun jul aug sep
sept oct nov dec
""".split()
NUMBERED = """
sku no ref art model code lot batch style eu uk us item isbn ean upc tel phone ring call en iso astm aatcc din
bs jis cpai gb
""".split()
FRACTIONS = {
    "½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅓": (1, 3), "⅔": (2, 3), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8),
}  # fmt: skip
TRADEMARKS = "™ ® ℠ ©".split()

# Ordinary words that begin with a capital on many tags and are nobody's name.
ORDINARY_WORDS = """
lightweight ultralight durable soft light heavy new classic premium high quality performance standard regular long
short wide left right men mens women womens unisex kids red blue green black white gray orange yellow olive sand
moss rust ink navy teal brown purple pink made with and for the our your this that its full fully all one two three
four strong tough thin thick warm cool cold dry wet outdoor trail summit alpine mountain hiking camping trekking
summer winter spring autumn recycled organic bonded brushed stretch mechanical smooth matte glossy woven knit
knitted printed x w o incl excl plus
""".split()

# Stretches of words that name a kind of gear and mean something else.
NO_KIND = [
    "pack size", "packed size", "pack weight", "packed weight", "pack down", "pack into", "packs into", "stuff bag",
    "carry bag", "storage bag", "bag liner", "bear bag", "pack of", "six pack", "fanny pack", "fits pack",
    "liner bag", "battery pack", "pack liner",
]  # fmt: skip
