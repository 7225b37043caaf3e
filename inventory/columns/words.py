"""How people head their columns and what they write in them, in English and Spanish.

Trade words of common practice, from memory, no source; what is not among them is asked for, never guessed.
"""

from typing import Final

KIND: Final = {
    "turnout": "turnout blanket,turnout rug,turn out,turn-out,t/o,paddock rug,manta de exterior,manta de paddock,"
    "manta de campo,manta impermeable",
    "rain_sheet": "rainsheet,rain rug,waterproof sheet,raincoat,chubasquero,impermeable,sabana impermeable",
    "sheet": "stable sheet,no-fill sheet,sabana,manta de verano",
    "stable": "stable,stable rug,stall blanket,barn blanket,indoor blanket,indoor,manta de cuadra,manta de box",
    "liner": "blanket liner,rug liner,under rug,underrug,forro,submanta",
    "cooler": "wicking rug,sweat sheet,anti-sweat sheet,anti sweat,sweat rug,manta secante,secante,manta polar",
    "neck_cover": "neck,neck rug,cuello,cubrecuello,cubre cuello",
    "exercise_sheet": "exercise rug,quarter sheet,riding rug,manta de ejercicio,cubrerrinones,cubre rinones",
    "dress_sheet": "show sheet,show rug,manta de presentacion,manta de concurso",
    "fly_sheet": "flysheet,fly rug,fly,mesh sheet,mosquitera,manta mosquitera,manta antimoscas",
}
WATERPROOFING: Final = {
    "none": "no,n,none,not,nein,no impermeable,not waterproofed",
    "resistant": "resistant,repellent,water repellent,showerproof,resistente,repelente",
    "waterproof": "yes,y,x,wp,waterproofed,si,impermeable",
}
NECK: Final = {
    "none": "no,n,standard,standard neck,without,sin,sin cuello",
    "removable": "removable,detachable,detach,desmontable,extraible",
    "fixed": "fixed,full,full neck,attached,combo,fijo",
}
FRONT: Final = {
    "buckle": "buckles,double buckle,hebilla,hebillas",
    "hook_and_loop": "hook-and-loop,hook & loop,touch tape,touch close,cierre de contacto",
    "both": "buckle and hook and loop,buckle & hook and loop,ambos",
    "closed": "closed front,over the head,pull on,cerrado",
}
CUT: Final = {
    "standard": "regular,normal,estandar",
    "broad": "stock,wide,ancho",
    "narrow": "slim,fine,estrecho",
    "cob": "cob cut",
    "pony": "poni",
    "draft": "draught,tiro",
}
LINING: Final = {"nylon": "polyester,silky,nailon", "fleece": "polar,forro polar", "felt": "fieltro"}
SURCINGLES: Final = {
    "one": "1,single,una,uno",
    "two": "2,double,dos",
    "cross": "crossed,cross surcingles,criss cross,cruzadas,cruzados",
    "belly_band": "belly band,bellyband,belly wrap,faja",
}
TAIL_FLAP: Final = {"sewn": "fixed,sewn in,cosido", "removable": "detachable,desmontable"}

SIZE_SYSTEM: Final = {
    "in": "inch,inches,pulgadas,in chest to tail",
    "ft_in": "ft,feet,feet and inches,pies,pies y pulgadas",
    "cm": "chest to tail cm,cm chest to tail,cm pecho a cola",
    "cm_back": "back,back length,cm along the back,largo de espalda,cm espalda",
}

BUILD: Final = {
    "stocky": "broad,wide,stout,robusto,ancho",
    "average": "medium,normal,standard,medio",
    "fine": "narrow,slim,fino,estrecho",
}
FEED: Final = {
    "limited": "restricted,diet,limitado,restringido",
    "maintenance": "normal,standard,mantenimiento",
    "free": "free choice,ad lib,ad libitum,always,a voluntad,libre",
}
CLIP: Final = {
    "none": "no,not clipped,unclipped,sin esquilar,no esquilado",
    "bib": "bib",
    "irish": "irish,irlandes",
    "trace": "trace,medium trace,high trace,low trace",
    "blanket": "blanket,manta",
    "hunter": "hunter,caza",
    "full": "full,body,full body,completo,entero",
}
PRESENCE: Final = {
    "here": "yes,present,in,aqui,presente",
    "away": "out,absent,fuera,ausente",
    "laid_up": "stall rest,box rest,injured,lesionado,reposo",
    "sold": "vendido,vendida",
    "dead": "deceased,muerto,muerta",
}

BARNS_OWN: Final = frozenset(
    {"barn", "the barn", "barn s own", "the barn s own", "barns own", "house", "yard", "cuadra"}
)
"""An owner's cell that says: the barn itself."""
