import {
  SVG_ELEMENTS,
  SVG_NAMESPACE,
  SVG_WRAPPERS,
  svgAttributeIsPlain,
  svgIdIsPlain,
  svgUrlTargets,
  XLINK_NAMESPACE,
} from './svg-allow.ts'
import { type StyleSheet, styleDeclarations, styleText } from './svg-style.ts'

/** An element of line art as it will be written: only names and values that are on the list ever get here. */
export interface SvgNode {
  name: string
  attributes: Map<string, string>
  children: (SvgNode | string)[]
}

const TEXT_HOLDERS = new Set(['text', 'tspan', 'title', 'desc'])
const REFERRERS = new Set(['use', 'linearGradient', 'radialGradient', 'pattern'])

/** Builds the tree anew from what the list allows; the rest of the document is not looked at again. */
export function svgTree(element: Element, sheet: StyleSheet): SvgNode | null {
  if (element.namespaceURI !== SVG_NAMESPACE || element.prefix !== null) return null
  const wrapper = SVG_WRAPPERS.has(element.localName)
  if (!wrapper && !SVG_ELEMENTS.has(element.localName)) return null
  const name = wrapper ? 'g' : element.localName
  const node: SvgNode = { name, attributes: attributesOf(element, name, sheet), children: [] }
  for (let child = element.firstChild; child; child = child.nextSibling) {
    // 1 element, 3 text, 4 CDATA (DOM, 4.4).
    if (child.nodeType === 1) {
      const kept = svgTree(child as Element, sheet)
      if (kept) node.children.push(kept)
    } else if ((child.nodeType === 3 || child.nodeType === 4) && TEXT_HOLDERS.has(name)) {
      const last = node.children.at(-1)
      if (typeof last === 'string') node.children[node.children.length - 1] = last + (child.nodeValue ?? '')
      else node.children.push(child.nodeValue ?? '')
    }
  }
  return node
}

function attributesOf(element: Element, name: string, sheet: StyleSheet): Map<string, string> {
  const kept = new Map<string, string>()
  let reference: string | null = null
  for (const { namespaceURI, localName, name: full, value } of element.attributes) {
    if (localName === 'href' && (namespaceURI === null || namespaceURI === XLINK_NAMESPACE)) {
      // Of href and xlink:href the plain one counts (SVG 2, 16.1.5).
      if (namespaceURI === null || reference === null) reference = value.trim()
    } else if (full === 'xml:space' && value === 'preserve') kept.set(full, value)
    else if (namespaceURI !== null) continue
    else if (localName === 'id') {
      if (svgIdIsPlain(value)) kept.set('id', value)
    } else if (svgAttributeIsPlain(localName, value)) kept.set(localName, value)
  }
  if (reference?.startsWith('#') && REFERRERS.has(name) && svgIdIsPlain(reference.slice(1))) kept.set('href', reference)
  const classNames = (element.getAttribute('class') ?? '').split(/\s+/).filter((one) => one !== '')
  const declarations = sheet.of(element.localName, classNames, element.getAttribute('id'))
  for (const [property, value] of styleDeclarations(element.getAttribute('style') ?? ''))
    declarations.set(property, value)
  if (declarations.size > 0) kept.set('style', styleText(declarations))
  return kept
}

/** Shown copies a drawing may unfold to by references; one that doubles itself twenty times over is no drawing. */
export const SVG_UNFOLDED_MAX = 1_000_000
const CHAIN_MAX = 1500

/**
 * How many elements a browser has to draw when every reference is followed: a group used ten times counts ten times.
 * Infinity when references run in a circle or are chained too deep.
 */
export function svgUnfolded(root: SvgNode): number {
  const byId = new Map<string, SvgNode>()
  const collect = (node: SvgNode): void => {
    const id = node.attributes.get('id')
    if (id !== undefined && !byId.has(id)) byId.set(id, node)
    for (const child of node.children) if (typeof child !== 'string') collect(child)
  }
  collect(root)
  const weights = new Map<SvgNode, number>()
  const open = new Set<SvgNode>()
  const weigh = (node: SvgNode, depth: number): number => {
    const known = weights.get(node)
    if (known !== undefined) return known
    if (open.has(node) || depth > CHAIN_MAX) return Number.POSITIVE_INFINITY
    open.add(node)
    let weight = 1
    for (const child of node.children) if (typeof child !== 'string') weight += weigh(child, depth + 1)
    for (const target of references(node)) {
      const shown = byId.get(target)
      if (shown) weight += weigh(shown, depth + 1)
    }
    open.delete(node)
    weights.set(node, weight)
    return weight
  }
  return weigh(root, 0)
}

function references(node: SvgNode): string[] {
  const targets: string[] = []
  for (const [name, value] of node.attributes) {
    if (name === 'href') targets.push(value.slice(1))
    else targets.push(...svgUrlTargets(value))
  }
  return targets
}

const ESCAPES: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  '\t': '&#9;',
  '\n': '&#10;',
  '\r': '&#13;',
}

function escaped(text: string, signs: RegExp): string {
  return text.replace(signs, (sign) => ESCAPES[sign]!)
}

/** The tree as XML text. */
export function svgWrite(node: SvgNode): string {
  let text = `<${node.name}`
  for (const [name, value] of node.attributes) text += ` ${name}="${escaped(value, /[&<>"\t\n\r]/g)}"`
  if (node.children.length === 0) return `${text}/>`
  text += '>'
  for (const child of node.children) {
    text += typeof child === 'string' ? escaped(child, /[&<>\r]/g) : svgWrite(child)
  }
  return `${text}</${node.name}>`
}
