; Made by `UPDATE_DOCS=1 cargo test --test docs`: the words are those of the vocabulary.
(comment) @comment
[(string) (open_string)] @string
(path (name) @variable)
((clause head: (name) @property)
  (#any-of? @property "across" "across-flats" "acts" "along" "angle" "around" "asked" "at" "axis" "backed" "base" "base-reach" "base-thickness" "bears" "bed-margin" "behind" "bends" "bias-length" "bias-shrinkage" "bond" "bore" "break-strain" "bridge-clean" "bridge-most" "brimmed" "brittle" "by" "catches" "chamfer" "chamfer-angle" "children" "class" "clearance" "closed-by" "cold-limit" "coldest" "compensates" "count" "cracked" "creep-limit" "crosses" "crown-sag" "cycles" "density" "depth" "diameter" "dimension" "drawn" "drilled" "dry" "enclosure" "ends" "engaged" "engagement" "enters" "expansion" "faces" "facets" "file" "fillet" "first-layer" "first-layer-flare" "flex-once" "flex-repeated" "food" "force" "free-diameter" "friction" "friction-steel" "from" "from-edge" "from-end" "gap" "gap-least" "gas" "gives" "grip" "guided" "head" "head-diameter" "heat-limit" "height" "height-bias" "height-spread" "held" "held-times" "hinge-most" "hinge-strain" "holds-people" "hole" "hole-bias" "hole-least" "hole-spread" "hook" "hot-liquid" "hot-share" "how" "inside" "inside-bias" "inside-expansion" "inside-spread" "kind" "land" "layer" "lead-in" "least" "ledge" "length" "lever" "line" "load-bearing" "machine" "mains" "material" "medical" "mirrored" "modulus" "moisture" "most" "near-heat" "nozzle" "object" "of" "on" "on-bed" "opens" "origin" "outdoors" "outside" "outside-bias" "outside-expansion" "outside-modulus" "outside-spread" "over-people" "overhang" "pair" "pitch" "plate" "pocket" "points" "poisson" "pressure" "protects-people" "radius" "reading" "reads" "reason" "release" "rests" "return" "revision" "rises" "roof" "room" "root-fillet" "root-leg" "rubs-on" "rule" "sag" "seat" "shares-room" "shrinkage" "sides" "size" "skin" "slides" "softens" "span" "stands-on" "stays-bent" "stops" "stroke" "sunk" "sunlight" "support-sag" "supported" "sustained-share" "swelling" "swelling-wet" "takes" "temperature" "tested-at" "thickness" "through" "times" "tip-leg" "tip-thickness" "tip-width" "title" "together" "tolerances" "torque" "travel" "turns" "undercut" "until" "up" "up-to" "value" "volume" "wall" "warm-share" "warping" "wet" "whitened" "width" "wrap" "yield-strain" "yield-stress"))
((clause head: (name) @keyword)
  (#any-of? @keyword "again" "arm" "beam" "bent-arm" "boss" "bought" "bridge" "came" "clamp" "counterbore" "countersink" "demand" "distance" "edge" "face" "fit" "hole" "hook" "insert" "let" "living-hinge" "load" "machine" "material" "notes" "nut" "part" "permit" "pin" "printed" "pull" "push" "rib" "ring-snap" "screw" "service" "sheet" "slide" "slot" "snap" "stack" "strut" "text" "thread" "tie" "tongue" "torsion-bar" "trial" "wall" "washer" "went" "with"))
((clause head: (name) @keyword . (path . (name) @type .))
  (#any-of? @keyword "again" "arm" "beam" "bent-arm" "boss" "bought" "bridge" "came" "clamp" "counterbore" "countersink" "demand" "distance" "edge" "face" "fit" "hole" "hook" "insert" "let" "living-hinge" "load" "machine" "material" "notes" "nut" "part" "permit" "pin" "printed" "pull" "push" "rib" "ring-snap" "screw" "service" "sheet" "slide" "slot" "snap" "stack" "strut" "text" "thread" "tie" "tongue" "torsion-bar" "trial" "wall" "washer" "went" "with"))
(binding name: (name) @variable)
((call function: (name) @function)
  (#any-of? @function "abs" "acos" "asin" "atan" "ceil" "cos" "floor" "half" "high" "low" "max" "middle" "min" "round" "sin" "sqrt" "tan"))
[(number) (fraction) (uneven)] @number
(unit) @type.builtin
(direction) @constant.builtin
((path (name) @constant.builtin)
  (#any-of? @constant.builtin "yes" "no"))
["let" "like" "mirrored" "measured" "between" "and" "or" "not" "by" "at" "least" "most" "tilted" "toward" "to" "if" "then" "else"] @keyword
["{" "}" "(" ")"] @punctuation.bracket
