"""The reasons in Spanish, with the words that barns in Mexico and the United States use.

For review by a native horse person: the words are common practice, no source.
"""

from typing import Final

from barnrugs.matching.reasons import Code, Language

SPANISH: Final = Language(
    both="y",
    either="o",
    under="con",
    nothing="nada",
    goes_on="{tag} va en {horse}",
    words={
        "turnout": "cobija de potrero",
        "rain_sheet": "cobija de lluvia",
        "sheet": "sábana",
        "stable": "cobija de caballeriza",
        "liner": "forro",
        "cooler": "cobija secadora",
        "neck_cover": "cubrecuello",
        "exercise_sheet": "cubrerriñones",
        "dress_sheet": "sábana de presentación",
        "fly_sheet": "sábana mosquera",
        "none": "ninguno",
        "bib": "de babero",
        "irish": "irlandés",
        "trace": "de tiro",
        "blanket": "de cobija",
        "hunter": "de cacería",
        "full": "completo",
        "standard": "normal",
        "broad": "ancho",
        "narrow": "angosto",
        "cob": "para caballo bajo y ancho",
        "pony": "para poni",
        "draft": "para caballo de tiro",
        "stocky": "robusta",
        "average": "media",
        "fine": "fina",
        "withers": "la cruz",
        "shoulder": "el hombro",
        "chest": "el pecho",
        "hip": "la cadera",
        "neck": "el cuello y la crin",
        "legs": "las patas de atrás",
        "thin": "flaco",
        "old": "viejo",
        "ill": "enfermo",
        "young": "muy joven",
        "air_here": "La temperatura del aire en el lugar",
        "air": "La temperatura del aire",
        "wind": "El viento a 10 m",
        "humidity": "La humedad relativa",
        "sun": "La radiación del sol",
        "clear_night": "La parte despejada del cielo de noche",
        "chance": "La probabilidad de lluvia o nieve",
        "falling": "La lluvia o nieve de la hora",
        "rain_from": "La probabilidad desde la que cuenta la lluvia",
        "coat_wet": "Lo mojado del pelo",
        "coat_wet_under": "Lo mojado del pelo debajo de la cobija",
        "mass": "El peso del caballo",
        "condition": "La condición corporal",
        "coat": "El largo del pelo",
        "clipped_coat": "El largo del pelo esquilado",
        "offset": "La diferencia aprendida",
        "fill": "El relleno",
        "fill_in_all": "El relleno en total",
        "soak": "Lo mojado de la cobija",
    },
    sentences={
        Code.REFUSED_RAIN: "{tag} no es impermeable y se espera lluvia o nieve ({rain_mm} en total).",
        Code.REFUSED_RAIN_UNKNOWN: (
            "{tag} no es impermeable y no se sabe si va a llover en {hours} de las horas afuera."
        ),
        Code.REFUSED_RESISTANT: (
            "{tag} solo resiste algo de agua y se esperan {rain_mm} de lluvia o nieve; sirve con menos de {limit_mm}."
        ),
        Code.REFUSED_STABLE_IN_WET: (
            "{tag} es cobija de caballeriza y nunca sale cuando está mojado: empapada, deja al caballo con más frío "
            "que sin nada."
        ),
        Code.REFUSED_SOAKED: (
            "{tag} está mojada ({wet_pct} % empapada): nunca deje puesta una cobija mojada ni le ponga una seca encima."
        ),
        Code.REFUSED_DRYING: "{tag} está colgada a secar; se vuelve a ofrecer cuando se marque como seca.",
        Code.REFUSED_DO_NOT_USE: "{tag} está marcada «no usar» hasta que se repare.",
        Code.REFUSED_BAGGED: "{tag} está embolsada para la lavandería o el taller.",
        Code.REFUSED_AWAY: "{tag} está en la lavandería o el taller.",
        Code.REFUSED_UNCHECKED: "{tag} ya regresó, pero nadie la ha revisado.",
        Code.REFUSED_LENT: "{tag} está prestada.",
        Code.REFUSED_HOME: "{tag} está en casa de su dueño.",
        Code.REFUSED_STORED: "{tag} está guardada; sáquela y revísela antes de ponerla.",
        Code.REFUSED_LOST: "{tag} está reportada como perdida.",
        Code.REFUSED_RETIRED: "{tag} está dada de baja.",
        Code.REFUSED_ON_ANOTHER: "{tag} la trae otro caballo.",
        Code.REFUSED_NOT_ALLOWED: "{tag} es de otra persona, que no ha dado permiso para usarla.",
        Code.REFUSED_TRIED_TIGHT: "{tag} ya se le probó a este caballo y le queda apretada.",
        Code.REFUSED_TRIED_BIG: "{tag} ya se le probó a este caballo y le queda grande.",
        Code.REFUSED_SMALL: "{tag} es chica por {by}: talla {size}, y este caballo mide {measure}.",
        Code.REFUSED_LARGE: "{tag} es grande por {by}: talla {size}, y este caballo mide {measure}.",
        Code.REFUSED_OVER_HEAD: "{tag} se mete por la cabeza, y este caballo es delicado de la cabeza.",
        Code.REFUSED_SWEATING: (
            "{tag} tiene relleno o es impermeable, y este caballo está caliente y sudado: primero déjelo enfriar."
        ),
        Code.REFUSED_NOT_BREATHABLE: (
            "{tag} no deja salir la humedad, y este caballo está mojado ({wet_pct} %): séquelo antes de ponerle una "
            "así."
        ),
        Code.REFUSED_KIND: "{tag} es {kind_word}: se lleva en el inventario, pero nunca se aconseja por el clima.",
        Code.REFUSED_NOTHING_OVER: (
            "{tag} solo se lleva con otra encima o debajo, y aquí ninguna que se pueda usar va con ella."
        ),
        Code.REFUSED_FELT_WARM: (
            "{tag} es más de lo que llevaba cuando al tocarlo se sintió demasiado caliente: ahora no se le pone nada "
            "más abrigado."
        ),
        Code.REFUSED_WARM_DAY: (
            "{tag} no se pone: está seco y hace más de {limit_c} (por lo menos {air_c}), y así los caballos no "
            "quieren nada puesto."
        ),
        Code.RIGHT: "A gusto de {low_c} a {high_c}, y el aire se queda entre {coldest_c} y {warmest_c}.",
        Code.RIGHT_AT: "A gusto de {low_c} a {high_c}, y el aire está a {air_c}.",
        Code.RIGHT_EACH_HOUR: (
            "A gusto en cada una de las {hours} horas, según cambian viento y lluvia; aire de {coldest_c} a "
            "{warmest_c}."
        ),
        Code.COLD: (
            "Con frío, hasta {by_deg}, en {cold_hours} de {hours} horas; unos {hay_kg} más de heno al día lo compensan."
        ),
        Code.WARM: "Con calor, hasta {by_deg}, en {warm_hours} de {hours} horas.",
        Code.COLD_AND_WARM: (
            "Con frío, hasta {cold_deg}, en {cold_hours} horas y con calor, hasta {warm_deg}, en {warm_hours} de "
            "{hours} horas; mejor cambiarla a la mitad."
        ),
        Code.TOO_COLD: (
            "Demasiado frío, hasta {by_deg}, en {cold_hours} de {hours} horas: necesita resguardo o más abrigo, y "
            "unos {hay_kg} más de heno al día."
        ),
        Code.TOO_WARM: (
            "Demasiado calor, hasta {by_deg}, en {warm_hours} de {hours} horas: caballo sudado es caballo mojado."
        ),
        Code.WARM_BARE: (
            "Con calor sin nada puesto, hasta {by_deg}, en {warm_hours} de {hours} horas: dele sombra y agua."
        ),
        Code.SIZE_UNDER: "{tag} es {by} chica (talla {size} en un caballo de {measure}): revise pecho, cruz y cola.",
        Code.SIZE_OVER: "{tag} es {by} grande (talla {size} en un caballo de {measure}): revise que no se ladee.",
        Code.SIZE_UNKNOWN: (
            "{tag} no tiene talla que comparar con la medida de este caballo: pruébela y anote cómo le queda."
        ),
        Code.CUT: "{tag} es de corte {cut}, y este caballo es de complexión {build}: revise hombros y cruz.",
        Code.MEASURE_OLD: (
            "Este caballo se midió hace {days} días, y a su edad la medida vale {limit} días: mídalo otra vez."
        ),
        Code.RUBS: "{tag} roza a este caballo: vea {where} cada vez que se la quite.",
        Code.RUBS_SOMEWHERE: "{tag} roza a este caballo: busque dónde cada vez que se la quite y anótelo.",
        Code.SHELL: (
            "{tag} tiene tela de {denier} deniers, y este caballo y sus compañeros piden {need}: busque roturas."
        ),
        Code.BARE_NEEDS_RAIN: (
            "Este caballo está {needs_words}, y se espera lluvia o nieve con hasta {air_c}: manténgalo seco."
        ),
        Code.BARE_CLIPPED_RAIN: (
            "Este caballo tiene esquilado {clip}, y se espera lluvia o nieve ({rain_mm} en total): la piel esquilada "
            "se moja."
        ),
        Code.BARE_CLIPPED_UNKNOWN: (
            "Este caballo tiene esquilado {clip}, y no se sabe si va a llover en {hours} de las horas afuera."
        ),
        Code.RAIN_UNKNOWN: "No se sabe si va a llover en {hours} de las horas, y un pelo de {coat_mm} protege poco.",
        Code.RESISTANT_LIGHT_RAIN: (
            "{tag} solo resiste algo de agua, y se esperan {rain_mm} de lluvia o nieve: cámbiela si cae más."
        ),
        Code.STABLE_OUTDOORS: (
            "{tag} es cobija de caballeriza y va afuera: métala con la primera lluvia y busque ladeos y roturas."
        ),
        Code.WASH_DUE: "A {tag} ya le toca lavado: busque rozaduras donde la tela de adentro está sucia.",
        Code.PROOFING_DUE: "A {tag} ya le toca impermeabilizado y puede dejar pasar la lluvia: meta la mano debajo.",
        Code.TEMPORARY_FIX: "{tag} aguanta con un arreglo provisional: revíselo antes de ponerla.",
        Code.BACK_SEAM: (
            "{tag} está anotada como cobija de potrero con costura en el lomo, que es de cobija de caballeriza: vea "
            "cuál es."
        ),
        Code.OFF_AT: (
            "Quítela a las {off_time}: debajo hay más de {limit_deg} de calor de más a las {warm_times}, hasta "
            "{by_deg}."
        ),
        Code.WARM_AT: (
            "Debajo hay más de {limit_deg} de calor de más desde el principio, a las {warm_times}, hasta {by_deg}."
        ),
        Code.FELT_COLD: "Al tocarlo se sintió frío, y esto no es más de lo que llevaba.",
        Code.FELT_WARM: "Al tocarlo se sintió demasiado caliente, y esto no es menos de lo que llevaba.",
        Code.RUB_DOWN: (
            "Primero frótelo hasta secarlo: este caballo está mojado ({wet_pct} %); si tiembla, llame al veterinario."
        ),
        Code.COOL_FIRST: (
            "Este caballo está caliente y sudado: primero la secadora {coolers_either}, hasta que esté fresco y seco;"
            " luego pregunte otra vez."
        ),
        Code.WALK_FIRST: (
            "Este caballo está caliente y sudado: primero camínelo hasta que esté fresco y seco; luego pregunte otra "
            "vez."
        ),
        Code.DRY_FIRST: (
            "Este caballo está mojado ({wet_pct} %): primero la secadora {coolers_either}, hasta que esté seco; luego"
            " pregunte otra vez."
        ),
        Code.TOWEL_FIRST: (
            "Este caballo está mojado ({wet_pct} %): primero séquelo a mano hasta que esté seco; luego pregunte otra "
            "vez."
        ),
        Code.KEEP_IN: (
            "Déjelo adentro, sin viento ni agua: de {count} cobijas aquí ninguna se puede poner ahora, y sin nada no "
            "está bien; dele heno y llame al veterinario si tiembla."
        ),
        Code.KEEP_IN_NONE_HERE: (
            "Déjelo adentro, sin viento ni agua: aquí no hay cobija para él, y sin nada no está bien; dele heno y "
            "llame al veterinario si tiembla."
        ),
        Code.BARE_WILL_DO: (
            "De {count} cobijas aquí ninguna se puede poner ahora; sin nada está bien, pero métalo si cambia el clima."
        ),
        Code.HARDY: (
            "Sin esquilar, en buenas carnes y con pelo de {coat_mm}: los primeros {free_deg} de frío no cuentan."
        ),
        Code.NEEDS_VET: (
            "Este caballo está {needs_words}: el ojo de quien lo cuida y la palabra del veterinario valen más que "
            "estas cifras."
        ),
        Code.FOAL: (
            "Este potrillo tiene {months} meses: estas cifras se han probado poco en potrillos; pregunte al "
            "veterinario."
        ),
        Code.WARM_DAY: (
            "Está seco y hace más de {limit_c} (por lo menos {air_c}), y así los caballos no quieren nada puesto."
        ),
        Code.GOES_SHORT: "A {name} no le alcanza: {held}; por eso le toca {given}.",
        Code.SHARE_DEALT: (
            "Sin respuesta exacta en {limit_s} s; se repartió caballo por caballo, primero el más necesitado."
        ),
        Code.SHARE_STOPPED: "Se detuvo a los {limit_s} s; la suma puede estar a {gap_pct} % de la mejor.",
        Code.OUTSIDE: "{what_word}: el valor debe estar entre {low} y {high}.",
        Code.NOT_A_NUMBER: "{what_word}: el valor no es un número.",
        Code.NO_HOUR: "No hay ninguna hora sobre la cual responder.",
        Code.HOURS_GAP: "Esta hora no sigue a la anterior: faltan horas en medio.",
        Code.READING: (
            "Se necesitan grados finitos, el límite bajo no mayor que el alto y una antigüedad desde 0 días."
        ),
        Code.SPRAY_RATING: "El grado de la prueba de rociado es uno de {ratings_either}.",
        Code.WIND_CHILL_ABOVE: "La sensación térmica se define hasta {limit_c}.",
        Code.WIND_CHILL_CALM: "La sensación térmica se define con viento de más de {limit_kmh}.",
    },
)
"""Every code has its sentence, with the figures of the English one; a test holds that."""
