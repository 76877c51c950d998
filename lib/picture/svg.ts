import { must } from '../must.ts'
import { Refusal } from '../refusal.ts'
import { SVG_ATTRIBUTES, SVG_ELEMENTS, SVG_NAMESPACE, SVG_WRAPPERS } from './svg-allow.ts'
import { svgLook } from './svg-hostile.ts'
import { svgOutlineCheck } from './svg-outline.ts'
import { StyleSheet } from './svg-style.ts'
import { SVG_UNFOLDED_MAX, type SvgNode, svgTree, svgUnfolded, svgWrite } from './svg-tree.ts'

export const SVG_MEGABYTES_MAX = 20

export interface CleanSvg {
  text: string
  /** User units; the view box starts at 0 0, so a callout's x and y count from the top left. */
  width: number
  height: number
  /** Kinds of element that were left out though they may show something: filter, textPath. */
  leftOut: string[]
}

async function makeCleaner() {
  const [{ JSDOM }, { default: createPurify }] = await Promise.all([import('jsdom'), import('dompurify')])
  // No scripts, no loading: jsdom's default for a window made from text.
  const { window } = new JSDOM('')
  return { parser: new window.DOMParser(), purify: createPurify(window) }
}

// Loaded with the first drawing: a workshop that only scans pages never pays for it.
let cleaner: ReturnType<typeof makeCleaner> | null = null

function broken(why: string): Refusal {
  return new Refusal('picture/broken', { why })
}

/** Text of the file. Only UTF-8: another encoding would be read differently by different readers. */
function textOf(bytes: Uint8Array): string {
  let text: string
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    throw broken('it is not UTF-8 text')
  }
  const encoding = /^\s*<\?xml[^>]*\bencoding\s*=\s*["']([^"']*)["']/i.exec(text)?.[1]
  if (encoding !== undefined && !/^(?:utf-?8|us-ascii)$/i.test(encoding))
    throw broken(`its encoding is ${encoding.slice(0, 20)}; save it as UTF-8`)
  return text.trimStart()
}

/**
 * Line art made safe to keep and to show anywhere. What could run or load refuses the whole drawing and is named
 * ('picture/unsafe'); what only an editor needs is left out. The result is written anew from a list of what line art is
 * made of, so nothing unknown gets through, and cleaning it again gives the same text. Refuses also with 'picture/broken'
 * (not well-formed, no size) and 'picture/too-heavy'.
 */
export async function svgClean(bytes: Uint8Array): Promise<CleanSvg> {
  if (bytes.byteLength > SVG_MEGABYTES_MAX * 1e6)
    throw new Refusal('picture/too-heavy', {
      what: `${Math.ceil(bytes.byteLength / 1e6)} MB of drawing`,
      limit: `${SVG_MEGABYTES_MAX} MB`,
    })
  const text = textOf(bytes)
  svgOutlineCheck(text)
  cleaner ??= makeCleaner()
  const { parser, purify } = await cleaner
  const root = parser.parseFromString(text, 'image/svg+xml').documentElement
  if (root.nodeName === 'parsererror') throw broken(`it is not well-formed: ${root.textContent?.slice(0, 120)}`)
  if (root.localName !== 'svg') throw broken(`its outermost element is ${root.nodeName.slice(0, 40)}, not svg`)
  if (root.namespaceURI !== SVG_NAMESPACE) throw broken(`it does not say xmlns="${SVG_NAMESPACE}"`)
  const look = svgLook(root)
  if (look.hostile.length > 0)
    throw new Refusal('picture/unsafe', { what: listed(look.hostile) }, { faults: look.hostile })
  if (root.prefix !== null) throw broken('its elements carry a prefix; save it as plain SVG')

  purify.sanitize(root, {
    IN_PLACE: true,
    PARSER_MEDIA_TYPE: 'application/xhtml+xml',
    NAMESPACE: SVG_NAMESPACE,
    ALLOWED_NAMESPACES: [SVG_NAMESPACE],
    ALLOWED_TAGS: [...SVG_ELEMENTS, ...SVG_WRAPPERS, '#text', '#cdata-section'],
    ALLOWED_ATTR: [...SVG_ATTRIBUTES],
    ALLOW_DATA_ATTR: false,
    ALLOW_ARIA_ATTR: false,
    KEEP_CONTENT: false,
  })
  const sheet = new StyleSheet()
  for (const style of look.styles) sheet.add(style)
  const tree = svgTree(root, sheet)
  must(tree, 'the root of a drawing is svg')
  const size = sizeOf(tree)
  if (svgUnfolded(tree) > SVG_UNFOLDED_MAX)
    throw new Refusal('picture/too-heavy', {
      what: 'its references multiply without end',
      limit: `${SVG_UNFOLDED_MAX} elements`,
    })
  return { text: svgWrite(framed(tree, size)), width: size.width, height: size.height, leftOut: look.leftOut }
}

function listed(names: readonly string[]): string {
  return names.length > 6 ? `${names.slice(0, 6).join('; ')}; and ${names.length - 6} more` : names.join('; ')
}

interface ViewBox {
  x: number
  y: number
  width: number
  height: number
}

/** CSS pixels in one unit of length (CSS Values 3, 5.2: 96 px to the inch). */
const PIXELS: Record<string, number> = { '': 1, px: 1, in: 96, mm: 96 / 25.4, cm: 96 / 2.54, pt: 96 / 72, pc: 16 }
const SIZE_MAX = 100_000

function length(text: string | undefined): number | null {
  const match = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)(px|in|mm|cm|pt|pc|)\s*$/i.exec(text ?? '')
  return match ? Number(match[1]) * PIXELS[match[2]!.toLowerCase()]! : null
}

/** View box where there is one: the drawing's own units. Else width and height in CSS pixels. */
function sizeOf(root: SvgNode): ViewBox {
  const box = root.attributes
    .get('viewBox')
    ?.trim()
    .split(/[\s,]+/)
    .map(Number)
  const [x = 0, y = 0, width = 0, height = 0] =
    box?.length === 4
      ? box
      : [0, 0, length(root.attributes.get('width')) ?? 0, length(root.attributes.get('height')) ?? 0]
  const sane = [x, y, width, height].every((value) => Number.isFinite(value) && Math.abs(value) <= SIZE_MAX)
  if (!sane || width <= 0 || height <= 0)
    throw broken(`its viewBox, or width and height, give no size between 0 and ${SIZE_MAX}`)
  return { x, y, width, height }
}

/** The root with namespace and size written out and the view box moved to 0 0. */
function framed(root: SvgNode, size: ViewBox): SvgNode {
  const attributes = new Map([['xmlns', SVG_NAMESPACE]])
  attributes.set('width', String(size.width))
  attributes.set('height', String(size.height))
  attributes.set('viewBox', `0 0 ${size.width} ${size.height}`)
  const placed = ['x', 'y', 'width', 'height', 'viewBox', 'preserveAspectRatio']
  for (const [name, value] of root.attributes) if (!placed.includes(name)) attributes.set(name, value)
  if (size.x === 0 && size.y === 0) return { name: 'svg', attributes, children: root.children }
  const moved = new Map([['transform', `translate(${-size.x} ${-size.y})`]])
  return { name: 'svg', attributes, children: [{ name: 'g', attributes: moved, children: root.children }] }
}
