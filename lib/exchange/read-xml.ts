import { SaxesParser } from 'saxes'
import { isRefusal, Refusal } from '../refusal.ts'

export interface XmlHands {
  /** Names come without their prefix. */
  open?(name: string, attributes: Readonly<Record<string, string>>): void
  close?(name: string): void
  text?(text: string): void
}

/** Names nested deeper are no spreadsheet and no data module. */
const DEPTH_MAX = 200

const local = (name: string) => name.slice(name.indexOf(':') + 1)

/**
 * Walks over XML in pieces and calls the hands. A document type is refused before anything of it is read, so no entity is
 * ever defined: nothing multiplies and nothing is fetched. Throws 'exchange/unreadable' for XML that is not whole.
 */
export function xmlWalker(file: string, hands: XmlHands): { write(piece: string): void; end(): void } {
  const parser = new SaxesParser({ xmlns: false })
  let depth = 0
  const stop = (why: string) => new Refusal('exchange/unreadable', { file, why })
  parser.on('error', (error) => {
    throw stop(`its XML is not whole (${error.message.slice(0, 120)})`)
  })
  parser.on('doctype', () => {
    throw stop('it has a document type declaration, which is not read')
  })
  parser.on('opentag', (tag) => {
    depth += 1
    if (depth > DEPTH_MAX) throw stop(`its elements are nested more than ${DEPTH_MAX} deep`)
    hands.open?.(local(tag.name), tag.attributes as Record<string, string>)
  })
  parser.on('closetag', (tag) => {
    depth -= 1
    hands.close?.(local(tag.name))
  })
  if (hands.text) {
    parser.on('text', (text) => hands.text?.(text))
    parser.on('cdata', (text) => hands.text?.(text))
  }
  const guarded = (run: () => void) => {
    try {
      run()
    } catch (error) {
      if (isRefusal(error)) throw error
      throw stop(`its XML is not whole (${error instanceof Error ? error.message.slice(0, 120) : 'broken'})`)
    }
  }
  return {
    write: (piece) => guarded(() => parser.write(piece)),
    end: () => guarded(() => parser.close()),
  }
}
