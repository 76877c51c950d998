import { placeSays, SHAFT_ENDS } from '../figure/shaft-end.ts'
import { itemCompare } from '../figure/strip-order.ts'

/**
 * A place of a job as one text: a side of the assembly or a station round its rotor, and an end of its shaft. Either may be
 * empty. Where nobody names an end a place is the code of its side or station and nothing else.
 */
export function placeKey(code: string, end: string): string {
  return end === '' ? code : `${code}\n${end}`
}

export function placeCode(place: string): string {
  const at = place.indexOf('\n')
  return at < 0 ? place : place.slice(0, at)
}

export function placeEnd(place: string): string {
  const at = place.indexOf('\n')
  return at < 0 ? '' : place.slice(at + 1)
}

/** The codes of places, each once: sides and stations in order, then the ends. */
export function placeCodes(places: Iterable<string>): string[] {
  const all = [...places]
  const codes = [...new Set(all.map(placeCode))].filter((code) => code !== '').sort(itemCompare)
  const ends = new Set(all.map(placeEnd))
  return [...codes, ...SHAFT_ENDS.filter((end) => ends.has(end))]
}

/** In words: LH, drive end. */
export function placesSay(places: Iterable<string>): string {
  return placeCodes(places).map(placeSays).join(', ')
}

/** Every code at every end; where no code is, the ends alone. */
export function placesAcross(codes: readonly string[], ends: readonly string[]): string[] {
  return (codes.length > 0 ? codes : ['']).flatMap((code) => ends.map((end) => placeKey(code, end)))
}
