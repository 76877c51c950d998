import { SVG_ELEMENTS, SVG_NAMESPACE, SVG_WRAPPERS, svgUrlsAreLocal, XLINK_NAMESPACE } from './svg-allow.ts'
import { styleHostile } from './svg-style.ts'

const XML_NAMESPACE = 'http://www.w3.org/XML/1998/namespace'
const XMLNS_NAMESPACE = 'http://www.w3.org/2000/xmlns/'
/** Languages that a browser runs or shows beside SVG; editors' own namespaces are merely left out. */
const LIVE_NAMESPACES = new Set(['http://www.w3.org/1999/xhtml', 'http://www.w3.org/1998/Math/MathML'])

/** Elements that run, load, move or hold another document, in lower case. */
const LIVE_ELEMENTS = new Set(
  (
    'script foreignobject iframe frame object embed applet animate animatemotion animatetransform animatecolor set discard ' +
    'handler listener audio video source track image img feimage html head body link meta base form input button textarea ' +
    'select template slot portal math annotation-xml cursor font-face-uri color-profile tref mpath'
  ).split(' '),
)

/** Attributes that name an address. */
const ADDRESSES = new Set(
  'href src srcset data action formaction poster ping background cite manifest codebase archive'.split(' '),
)

export interface Look {
  /** What could run or load, each named once. */
  hostile: string[]
  /** Kinds of SVG element that will be left out though they may show something. */
  leftOut: string[]
  /** Texts of the style sheets inside. */
  styles: string[]
}

// What is left out though a drawing may carry it and looks the same without.
const SILENT = new Set(['metadata', 'style', 'sodipodi:namedview', 'view'])

function shortened(text: string): string {
  const line = text.replace(/[\p{C}\s]+/gu, ' ').trim()
  return line.length > 60 ? `${line.slice(0, 57)}...` : line
}

/** An address without the spaces, controls and escapes in which a scheme hides. */
function compact(value: string): string {
  return value.replace(/[\p{C}\p{Z}\s\\]+/gu, '').toLowerCase()
}

function attributeHostile(attribute: Attr): string | null {
  const { namespaceURI, localName, name, value } = attribute
  if (namespaceURI === XMLNS_NAMESPACE) return null
  const local = localName.toLowerCase()
  if (/^on[a-z]/.test(local)) return `event handler ${name}`
  if (/(?:java|vb|live)script:|data:text\/(?:html|xml)/.test(compact(value))) return `script address in ${name}`
  if (namespaceURI === XML_NAMESPACE) return local === 'base' ? 'xml:base' : null
  const ours = namespaceURI === null || namespaceURI === XLINK_NAMESPACE
  if (!ours) return null
  if (ADDRESSES.has(local) && !/^\s*(?:#[^\s]*)?\s*$/.test(value)) return `link to ${shortened(value)}`
  if (local === 'style') return styleHostile(value)[0] ?? null
  return svgUrlsAreLocal(value) ? null : `reference to ${shortened(value)}`
}

/**
 * Looks at every element and attribute of a parsed drawing, those of editors included, and names what could run or load.
 * Nothing is changed.
 */
export function svgLook(root: Element): Look {
  const hostile = new Set<string>()
  const leftOut = new Set<string>()
  const styles: string[] = []
  const open: Element[] = [root]
  for (let element = open.pop(); element !== undefined; element = open.pop()) {
    const local = element.localName.toLowerCase()
    const inSvg = element.namespaceURI === SVG_NAMESPACE
    if (LIVE_NAMESPACES.has(element.namespaceURI ?? '')) hostile.add(`element ${element.nodeName} of another language`)
    else if (local === 'script' || ((inSvg || element.namespaceURI === null) && LIVE_ELEMENTS.has(local)))
      hostile.add(`element ${element.localName}`)
    else if (inSvg && local === 'style') {
      const text = element.textContent ?? ''
      for (const one of styleHostile(text)) hostile.add(one)
      styles.push(text)
    } else if (inSvg && !known(element) && !SILENT.has(element.nodeName)) leftOut.add(element.localName)
    for (const attribute of element.attributes) {
      const found = attributeHostile(attribute)
      if (found) hostile.add(found)
    }
    for (let child = element.lastElementChild; child; child = child.previousElementSibling) open.push(child)
  }
  return { hostile: [...hostile], leftOut: [...leftOut], styles }
}

function known(element: Element): boolean {
  return SVG_ELEMENTS.has(element.localName) || SVG_WRAPPERS.has(element.localName)
}
