import { SVG_PROPERTIES, svgUrlsAreLocal, svgValueIsPlain } from './svg-allow.ts'

/** Property to value, in the order written; the later one of two wins. */
export type Declarations = Map<string, string>

/** One simple selector: an element name, a class and an id, each as far as it is named. */
interface Rule {
  element: string | null
  className: string | null
  id: string | null
  order: number
  declarations: Declarations
}

const RULES_MAX = 5000

/** What in a style text could run or load, by name; empty when nothing. Escapes hide names, so any of them counts. */
export function styleHostile(text: string): string[] {
  const plain = text.replace(/\/\*[\s\S]*?\*\//g, '')
  const found: string[] = []
  for (const [, name] of plain.matchAll(/@([\w-]+)/g)) found.push(`style rule @${name}`)
  if (/\\/.test(plain)) found.push('an escape in a style')
  if (/expression\s*\(|-moz-binding|behaviou?r\s*:/i.test(plain)) found.push('a style that runs')
  if (!svgUrlsAreLocal(plain) || /(?:image-set|image|src)\s*\(/i.test(plain)) found.push('a style that loads')
  if (/(?:java|vb|live)script\s*:/i.test(plain)) found.push('a style with a script address')
  return found
}

/** The declarations of a `style` text that line art needs; the others, and values that are not plain, are left out. */
export function styleDeclarations(text: string): Declarations {
  const declarations: Declarations = new Map()
  for (const one of text.replace(/\/\*[\s\S]*?\*\//g, '').split(';')) {
    const colon = one.indexOf(':')
    if (colon < 0) continue
    const property = one.slice(0, colon).trim().toLowerCase()
    const value = one
      .slice(colon + 1)
      .replace(/!\s*important\s*$/i, '')
      .replace(/\s+/g, ' ')
      .trim()
    if (value !== '' && SVG_PROPERTIES.has(property) && svgValueIsPlain(value)) declarations.set(property, value)
  }
  return declarations
}

export function styleText(declarations: Declarations): string {
  return [...declarations].map(([property, value]) => `${property}:${value}`).join(';')
}

/** A style sheet of flat rules with simple selectors (`.st0`, `path`, `#outline`), as drawing programs write it. */
export class StyleSheet {
  #rules = 0
  /** By class name, '' for rules without one: a drawing has thousands of elements and each asks. */
  readonly #byClass = new Map<string, Rule[]>()

  add(text: string): void {
    const flat = text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/<!--|-->/g, '')
    for (const [, selectors, body] of flat.matchAll(/([^{}]*)\{([^{}]*)\}/g)) {
      const declarations = styleDeclarations(body!)
      if (declarations.size === 0) continue
      for (const selector of selectors!.split(',')) this.#addRule(selector, declarations)
    }
  }

  #addRule(selector: string, declarations: Declarations): void {
    const simple = /^\s*([\w-]+|\*)?(?:\.([\w-]+))?(?:#([\w.-]+))?\s*$/.exec(selector)
    if (!simple?.[0].trim() || this.#rules >= RULES_MAX) return
    const element = simple[1] === '*' ? null : (simple[1] ?? null)
    const rule = { element, className: simple[2] ?? null, id: simple[3] ?? null, order: this.#rules, declarations }
    const group = this.#byClass.get(rule.className ?? '') ?? []
    group.push(rule)
    this.#byClass.set(rule.className ?? '', group)
    this.#rules += 1
  }

  /** What the sheet says of an element; its own `style` comes on top. */
  of(element: string, classNames: readonly string[], id: string | null): Declarations {
    const result: Declarations = new Map()
    if (this.#rules === 0) return result
    const rules = ['', ...new Set(classNames)]
      .flatMap((name) => this.#byClass.get(name) ?? [])
      .filter((rule) => (rule.element ?? element) === element && (rule.id ?? id) === id)
      // The weightier rule wins, of two equal ones the later (CSS 2.2, 6.4.1 and 6.4.3).
      .sort((a, b) => weight(a) - weight(b) || a.order - b.order)
    for (const rule of rules) for (const [property, value] of rule.declarations) result.set(property, value)
    return result
  }
}

function weight(rule: Rule): number {
  return (rule.id === null ? 0 : 100) + (rule.className === null ? 0 : 10) + (rule.element === null ? 0 : 1)
}
