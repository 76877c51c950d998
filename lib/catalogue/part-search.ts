import { searchExpand, searchNormal } from '../search/thesaurus.ts'
import { partNumberKey } from './part-number.ts'

/**
 * What search looks through for a part: its number as printed and as a key (`AB-12 3` and `ab123`), maker, description, and
 * what the trade also calls it, all folded as the search folds what is typed.
 * Example: partSearchText({ number: 'AB-12', maker: 'Böhm', description: 'Tyre' }) is "ab-12 ab12 bohm tyre tire".
 */
export function partSearchText(part: { number: string; maker: string; description: string }): string {
  const { number, maker, description } = part
  const pieces = [number, partNumberKey(number), maker, description, ...searchExpand(description).flat()]
  return [...new Set(pieces.map(searchNormal))].filter((piece) => piece !== '').join(' ')
}
