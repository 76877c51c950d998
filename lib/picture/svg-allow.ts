/**
 * What line art is made of. Everything else is left out when a drawing is written anew, and some of it is refused by name
 * (svg-hostile.ts). Names are case-sensitive, as in XML. Source of the names: W3C Scalable Vector Graphics (SVG) 1.1, second
 * edition, appendices J and K.
 */
export const SVG_NAMESPACE = 'http://www.w3.org/2000/svg'
export const XLINK_NAMESPACE = 'http://www.w3.org/1999/xlink'

export const SVG_ELEMENTS: ReadonlySet<string> = new Set(
  (
    'svg g path line polyline polygon circle ellipse rect text tspan title desc defs clipPath linearGradient ' +
    'radialGradient stop marker pattern mask use symbol'
  ).split(' '),
)

/** Elements that only hold others: written as a group. */
export const SVG_WRAPPERS: ReadonlySet<string> = new Set(['a', 'switch'])

/** May stand as an attribute and as a property of `style`. */
export const SVG_PROPERTIES: ReadonlySet<string> = new Set(
  (
    'fill fill-opacity fill-rule stroke stroke-width stroke-opacity stroke-linecap stroke-linejoin stroke-miterlimit ' +
    'stroke-dasharray stroke-dashoffset opacity color display visibility clip-path clip-rule mask marker-start marker-mid ' +
    'marker-end stop-color stop-opacity font-family font-size font-style font-weight font-variant font-stretch text-anchor ' +
    'text-decoration letter-spacing word-spacing dominant-baseline alignment-baseline baseline-shift writing-mode ' +
    'shape-rendering text-rendering color-interpolation vector-effect paint-order overflow'
  ).split(' '),
)

const GEOMETRY: ReadonlySet<string> = new Set(
  (
    'x y x1 y1 x2 y2 cx cy r rx ry fx fy dx dy width height points transform rotate textLength lengthAdjust pathLength ' +
    'viewBox preserveAspectRatio gradientUnits gradientTransform spreadMethod offset clipPathUnits maskUnits ' +
    'maskContentUnits patternUnits patternContentUnits patternTransform markerUnits markerWidth markerHeight orient refX ' +
    'refY'
  ).split(' '),
)

const FUNCTIONS = new Set('url rgb rgba hsl hsla matrix translate scale rotate skewx skewy'.split(' '))

const LOCAL_URL = /url\(\s*(["']?)#([\p{L}_][\p{L}\p{N}_.-]*)\1\s*\)/giu
// No colon, slash, backslash, at sign, semicolon or brace: no address, no escape and no rule can be spelled without one.
const PLAIN_VALUE = /^[\p{L}\p{N}_\s#%.,+\-()'"]*$/u

/** True when every `url(...)` in the text points into the drawing itself. */
export function svgUrlsAreLocal(text: string): boolean {
  return !/url\s*\(/i.test(text.replace(LOCAL_URL, ''))
}

/** The ids that a value points to by `url(#id)`. */
export function svgUrlTargets(text: string): string[] {
  return text.includes('url') ? [...text.matchAll(LOCAL_URL)].map((match) => match[2]!) : []
}

/** A value of numbers, words, colours, transforms and local references only. */
export function svgValueIsPlain(value: string): boolean {
  if (!PLAIN_VALUE.test(value) || !svgUrlsAreLocal(value)) return false
  for (const [, name] of value.matchAll(/([\p{L}\p{N}_-]*)\s*\(/gu)) {
    if (name !== '' && !FUNCTIONS.has(name!.toLowerCase())) return false
  }
  return true
}

export function svgIdIsPlain(id: string): boolean {
  return /^[\p{L}_][\p{L}\p{N}_.-]{0,199}$/u.test(id)
}

/** Whether an attribute without a namespace may be written; `style`, `id` and references have rules of their own. */
export function svgAttributeIsPlain(name: string, value: string): boolean {
  if (name === 'd') return /^[\sMmZzLlHhVvCcSsQqTtAa0-9+\-.,eE]*$/.test(value)
  return (GEOMETRY.has(name) || SVG_PROPERTIES.has(name)) && svgValueIsPlain(value)
}

/** The attributes above and those with rules of their own, for the first sieve. */
export const SVG_ATTRIBUTES: readonly string[] = [
  ...GEOMETRY,
  ...SVG_PROPERTIES,
  ...['d', 'id', 'class', 'style', 'href', 'xlink:href', 'xml:space'],
]
