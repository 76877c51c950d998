import { Refusal } from '../refusal.ts'

/**
 * Limits on a drawing, checked on its text before a document is built from it: the parser and the cleaner take about 60
 * microseconds an element, and deep nesting or thousands of attributes on one element cost the square of their number.
 */
export const SVG_ELEMENTS_MAX = 50_000
export const SVG_DEPTH_MAX = 100
export const SVG_ATTRIBUTES_MAX = 120

/** The document type that drawing programs write, W3C's own, without declarations of its own. */
const PLAIN_DOCTYPE =
  /<!DOCTYPE\s+svg(?:\s+PUBLIC\s+"-\/\/W3C\/\/DTD SVG [\w. ]+\/\/EN"\s+"https?:\/\/www\.w3\.org\/[\w./-]+")?\s*>/y

function broken(why: string): Refusal {
  return new Refusal('picture/broken', { why })
}

function heavy(what: string, limit: string): Refusal {
  return new Refusal('picture/too-heavy', { what, limit })
}

/** Index behind `end`, or a refusal: the text stops inside something. */
function after(text: string, end: string, from: number): number {
  const at = text.indexOf(end, from)
  if (at < 0) throw broken(`it ends before ${end}`)
  return at + end.length
}

/** Index behind the `>` of a start tag; quoted values may hold one. */
function tagEnd(text: string, from: number): number {
  let attributes = 0
  for (let at = from; ; at++) {
    const sign = text[at]
    if (sign === undefined) throw broken('it ends inside an element')
    if (sign === '>') return at + 1
    if (sign === '<') throw broken('an element opens inside another one’s name')
    if (sign !== '"' && sign !== "'") continue
    attributes += 1
    if (attributes > SVG_ATTRIBUTES_MAX)
      throw heavy(`an element has more than ${SVG_ATTRIBUTES_MAX} attributes`, `${SVG_ATTRIBUTES_MAX} attributes`)
    at = after(text, sign, at + 1) - 1
  }
}

/**
 * Walks over the tags of a drawing without building anything. Names what would run or load before the root is even read:
 * document types with declarations (entities that multiply, outside files) and style sheets by processing instruction.
 * Refuses with 'picture/broken', 'picture/too-heavy' and 'picture/unsafe'.
 */
export function svgOutlineCheck(text: string): void {
  let elements = 0
  let depth = 0
  for (let at = text.indexOf('<'); at >= 0; at = text.indexOf('<', at)) {
    if (text.startsWith('<!--', at)) at = after(text, '-->', at + 4)
    else if (text.startsWith('<![CDATA[', at)) at = after(text, ']]>', at + 9)
    else if (text.startsWith('<!', at)) at = doctypeEnd(text, at)
    else if (text.startsWith('<?', at)) at = instructionEnd(text, at)
    else if (text.startsWith('</', at)) {
      depth -= 1
      at = after(text, '>', at)
    } else {
      elements += 1
      depth += 1
      at = tagEnd(text, at + 1)
      if (depth > SVG_DEPTH_MAX) throw heavy('its groups are nested too deep', `${SVG_DEPTH_MAX} levels`)
      if (text[at - 2] === '/') depth -= 1
      if (elements > SVG_ELEMENTS_MAX)
        throw heavy(`it has more than ${SVG_ELEMENTS_MAX} elements`, `${SVG_ELEMENTS_MAX} elements`)
    }
  }
}

function doctypeEnd(text: string, at: number): number {
  PLAIN_DOCTYPE.lastIndex = at
  if (PLAIN_DOCTYPE.test(text)) return PLAIN_DOCTYPE.lastIndex
  const declared = text.slice(at, at + 2000)
  const what = /\[|<!ENTITY/i.test(declared) ? 'a document type with declarations' : 'a document type from elsewhere'
  throw new Refusal('picture/unsafe', { what })
}

function instructionEnd(text: string, at: number): number {
  const target = /^<\?([\w.:-]*)/.exec(text.slice(at, at + 100))?.[1] ?? ''
  if (/stylesheet/i.test(target)) throw new Refusal('picture/unsafe', { what: `processing instruction ${target}` })
  return after(text, '?>', at)
}
