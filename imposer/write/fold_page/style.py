"""How `fold.html` looks: one sheet of style, for phone and desk."""

STYLE = """
:root { color-scheme: light; --ink: #222; --line: #c9c5bb; --wrong: #a1241c; --right: #2c6a36; }
body { margin: 0; background: #f5f3ee; color: var(--ink); font: 16px/1.5 system-ui, sans-serif; }
main { max-width: 76rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 1.5rem; line-height: 1.25; overflow-wrap: anywhere; }
h2 { font-size: 1.25rem; margin-top: 2.5rem; border-top: 1px solid var(--line); padding-top: 1rem; }
h3 { font-size: 1.05rem; margin-top: 2rem; }
p { max-width: 46rem; }
.verdict { font-weight: 600; padding: .6rem .9rem; border-left: .4rem solid; background: #fff; }
.verdict.right { border-color: var(--right); }
.verdict.wrong { border-color: var(--wrong); }
.faults { color: var(--wrong); overflow-wrap: anywhere; padding-left: 1.2rem; }
figure { margin: 0; }
figcaption { font-size: .85rem; color: #555; padding-top: .25rem; overflow-wrap: anywhere; }
.sheet { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 20rem), 1fr)); gap: 1rem;
  margin-bottom: 1.2rem; }
.sheet svg { width: 100%; height: auto; display: block; background: #fff; box-shadow: 0 0 0 1px var(--line); }
.cut { stroke: #c2185b; stroke-width: 1.4px; vector-effect: non-scaling-stroke; }
.slit { stroke: #c2185b; stroke-width: 4px; vector-effect: non-scaling-stroke; }
.crease { stroke: #0b57a4; stroke-width: 2px; vector-effect: non-scaling-stroke; fill: none; }
.valley { stroke-dasharray: 7 4; }
.mountain { stroke-dasharray: 10 3 2 3; }
.badge { fill: #0b57a4; }
.badge-text { fill: #fff; text-anchor: middle; font-weight: 700; font-family: system-ui, sans-serif; }
.page-number { text-anchor: middle; font-weight: 700; font-family: system-ui, sans-serif; fill: #111; stroke: #fff;
  paint-order: stroke; stroke-linejoin: round; opacity: .85; }
.steps { display: flex; flex-wrap: wrap; gap: 1.2rem 1.6rem; align-items: end; }
.steps figure { max-width: 100%; }
.steps figcaption { max-width: 15rem; }
.steps svg { max-width: 100%; height: auto; display: block; }
.steps text { text-anchor: middle; font-family: system-ui, sans-serif; fill: var(--ink); }
.paper { stroke: #555; stroke-width: .8px; }
.paper.front { fill: #fff; }
.paper.back { fill: #e2dfd6; }
.leaf { fill: none; stroke-width: 2px; }
.steps .leaf-text { text-anchor: start; }
.steps .leaf-text[text-anchor=end] { text-anchor: end; }
.booklet { display: flex; flex-wrap: wrap; gap: 1.4rem; }
.opening { display: flex; box-shadow: 0 1px 4px #0003; background: #fff; max-width: 100%; }
.opening figure { width: min(44vw, 11rem); padding-bottom: .3rem; }
.opening figcaption { padding: .25rem .4rem 0; }
.opening img { width: 100%; height: auto; display: block; }
.opening .bare { aspect-ratio: 3 / 4; display: grid; place-items: center; color: #888; background: #fbfaf7; }
.opening .down { transform: rotate(180deg); }
.opening .left { transform: rotate(-90deg); }
.opening .right { transform: rotate(90deg); }
.wrong img, .wrong .bare { outline: 3px solid var(--wrong); outline-offset: -3px; }
.problem { display: block; color: var(--wrong); }
"""
