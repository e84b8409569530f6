"""Names and roles for the cards of Lantern Fair, an invented night market."""

TRADES = ("Hearth", "Wick", "Cog", "Petal", "Ferry", "Quill")
ROLES = ("tool", "guest", "charm", "stall", "deed")

FIRST_WORDS = {
    "Hearth": "Ember Saffron Honey Copper Chestnut Cinder Barley Pepper Rosemary Autumn",
    "Wick": "Tallow Mirror Silver Smoke Beeswax Moonlit Veiled Flicker Gloaming Amber",
    "Cog": "Brass Rusty Ticking Rivet Coiled Tin Steam Pewter Greased Whirring",
    "Petal": "Poppy Dewy Lavender Jasmine Marigold Evening Clover Wild Mossy Foxglove",
    "Ferry": "River Tidal Foggy Willow Driftwood Heron Harbour Rope Upstream Pebble",
    "Quill": "Inky Vellum Gilded Blotted Folded Scarlet Secret Crooked Foolscap Stamped",
    "any": "Festival Twilight Borrowed Lucky Crowded Bargain Wandering Painted Dusty Merry",
}

LAST_WORDS = {
    "Hearth": (
        ("Kettle", "Ladle", "Skillet", "Bellows"),
        ("Baker", "Stoker", "Taster", "Potboy"),
        ("Bun", "Dumpling", "Biscuit", "Marzipan"),
        ("Oven", "Bakery", "Griddle", "Pantry"),
        ("Feast", "Tasting", "Supper", "Toast"),
    ),
    "Wick": (
        ("Snuffer", "Candlestick", "Looking-Glass", "Taper"),
        ("Chandler", "Conjurer", "Shadow-Player", "Fortune-Teller"),
        ("Flame", "Moth", "Glimmer", "Spangle"),
        ("Booth", "Parlour", "Tent", "Shrine"),
        ("Vanishing", "Trick", "Reflection", "Encore"),
    ),
    "Cog": (
        ("Spanner", "Winch", "Ratchet", "Barrow"),
        ("Tinker", "Winder", "Toymaker", "Apprentice"),
        ("Sparrow", "Cricket", "Weathercock", "Whistle"),
        ("Workshop", "Carousel", "Workbench", "Tollgate"),
        ("Repair", "Rewinding", "Overhaul", "Demonstration"),
    ),
    "Petal": (
        ("Trowel", "Watering Can", "Basket", "Trellis"),
        ("Gardener", "Beekeeper", "Florist", "Herbalist"),
        ("Posy", "Garland", "Seedling", "Sachet"),
        ("Arbour", "Glasshouse", "Flowerbed", "Orchard"),
        ("Blossoming", "Grafting", "Harvest", "Bouquet"),
    ),
    "Ferry": (
        ("Oar", "Boathook", "Net", "Anchor"),
        ("Boatman", "Eel-Seller", "Pilot", "Stowaway"),
        ("Shell", "Float", "Fishbone", "Knot"),
        ("Barge", "Jetty", "Landing", "Raft"),
        ("Crossing", "Regatta", "Catch", "Mooring"),
    ),
    "Quill": (
        ("Nib", "Penknife", "Ledger", "Compass"),
        ("Scribe", "Poet", "Mapmaker", "Letter-Writer"),
        ("Bookmark", "Verse", "Crane", "Seal"),
        ("Bookstall", "Print Shop", "Archive", "Post Box"),
        ("Petition", "Recital", "Signature", "Rumour"),
    ),
    "any": (
        ("Handcart", "Umbrella", "Stool", "Purse"),
        ("Juggler", "Stranger", "Pickpocket", "Fiddler"),
        ("Ribbon", "Coin", "Bell", "Kite"),
        ("Archway", "Fountain", "Bandstand", "Gate"),
        ("Parade", "Haggling", "Raffle", "Farewell"),
    ),
}


def fair_name(home: str, place: int) -> tuple[str, str]:
    """Name a card, and give the role that its last word speaks of.

    Parameters
    ----------
    home : str
        A trade, two trades joined by a hyphen, or ``"any"``.
    place : int
        Which of the home's cards it is, from 0; no two below 200 share a name.

    Returns
    -------
    tuple of str
        Name and role.

    Examples
    --------
    >>> fair_name("Hearth", 0), fair_name("Wick-Cog", 1)
    (('Ember Kettle', 'tool'), ('Mirror Cricket', 'charm'))
    """
    first, _, second = home.partition("-")
    words = FIRST_WORDS[first].split()
    noun = (7 * place + 3 * (place // 10)) % 20
    role = noun % 5
    return f"{words[place % 10]} {LAST_WORDS[second or first][role][noun // 5]}", ROLES[role]


def lantern_name(home: str, place: int) -> str:
    """Name one of the home's first ten lanterns, counted from 0.

    Examples
    --------
    >>> lantern_name("Quill", 2)
    'Gilded Lantern'
    """
    first, _, _ = home.partition("-")
    return f"{FIRST_WORDS[first].split()[place]} Lantern"
