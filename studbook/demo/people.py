"""The people and yards of the sample book, all of them invented.

Telephone numbers are of the block kept free for fiction, e-mail addresses of the domain kept free for examples.
"""

from studbook.book.records import BookDetails, Contact, ContactId, Origin, OriginId

DETAILS = BookDetails(
    id="",
    keeper="Hester Fenwyn",
    yard="Withybrook",
    address="Fellgate Lane\nUpper Sallow",
    flock_registration="SAMPLE-0417",
    species="chicken",
    breed="Andalusian",
    sample=True,
)

ORIGINS = (
    Origin(
        OriginId(""),
        "Alder Yard",
        note="Two cocks and some thirty hens; the birds we took had no parents in common, so far as is known.",
    ),
    Origin(OriginId(""), "Larkfold", note="Pairs only. Hawthorn and Hazel are out of one nest."),
    Origin(OriginId(""), "Marlcote", note="Given up in 2019; nothing more to be had from there."),
    Origin(
        OriginId(""),
        "Saltmoor",
        note="By the coast; no bird of ours ever went there, nor any of theirs to the three old yards.",
    ),
    Origin(OriginId(""), "Reedholme", note="Call ducks on two ponds, the pairs kept apart."),
)

BREEDERS = {
    "Alder Yard": "Magnus Aldersey-Thorn",
    "Larkfold": "Edie Thackrow",
    "Marlcote": "Jonas Wetherlow",
    "Saltmoor": "Nerys Pengarth",
    "Reedholme": "Tove Lindgård",
}
"""Who keeps, or kept, each yard."""

_LIVES_AT = {
    "Magnus Aldersey-Thorn": ("Alder Yard, Mill Bank, Overwater", "01632 960117", ""),
    "Edie Thackrow": ("Larkfold, Long Acre Road, Hessle Down", "01632 960142", "edie@larkfold.example"),
    "Jonas Wetherlow": ("Marlcote, The Pits, Nether Stane", "", ""),
    "Nerys Pengarth": ("Saltmoor, Sea Lane, Port Corran", "01632 960188", "nerys@saltmoor.example"),
    "Tove Lindgård": ("Reedholme, Staithe Road, Lower Mere", "01632 960193", "tove@reedholme.example"),
    "Priya Sandholm": ("4 Orchard Row, Upper Sallow", "01632 960201", "priya@sandholm.example"),
    "Tomos Garthwen": ("Ty Garth, Cwm Helyg", "01632 960215", ""),
    "Lise Nørbæk": ("The Old Forge, Stane Bridge", "01632 960223", "lise@norbaek.example"),
    "Bea Hollin": ("Hollin Bank, Overwater", "01632 960236", "bea@hollinbank.example"),
    "Callum Strathorn": ("Craigend Croft, Glen Sallan", "", "callum@strathorn.example"),
    "Ana Lindoso": ("Ferry Cottage, Port Corran", "01632 960244", "ana@lindoso.example"),
    "Hugh Fennimoor": ("Moor End, Hessle Down", "01632 960251", ""),
    "Sanna Järvelo": ("Birch House, Lower Mere", "01632 960268", "sanna@jarvelo.example"),
    "Withy Lane School": ("Withy Lane, Upper Sallow", "01632 960270", "office@withylane.example"),
    "Joss Merriden": ("Two Ponds, Nether Stane", "01632 960279", "joss@merriden.example"),
}

_REMARKS = {
    "Jonas Wetherlow": "Moved away in 2019.",
    "Nerys Pengarth": "Would take a blue cockerel in exchange.",
    "Callum Strathorn": "Wants blacks. Collects himself.",
    "Hugh Fennimoor": "Shows; asks for single combs with five even spikes.",
    "Withy Lane School": "Quiet hens only.",
    "Lise Nørbæk": "On the list for two pullets in 2027.",
}

CONTACTS = tuple(
    Contact(ContactId(""), name, address, phone, email, _REMARKS.get(name, ""))
    for name, (address, phone, email) in _LIVES_AT.items()
)
