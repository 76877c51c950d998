import { searchNormal } from '../search/words.ts'
import { partNumberKey } from './part-number.ts'

/**
 * What is looked through for a piece out of the middle of a number or word: the number as printed and as a key (`AB-12 3` and
 * `ab123`), maker and description, folded as the search folds what is typed. Other names of the trade are not written in: the
 * question is widened by them, so that a word added to the list counts at once.
 * Example: partSearchText({ number: 'AB-12', maker: 'Böhm', description: 'Tyre' }) is "ab-12 ab12 bohm tyre".
 */
export function partSearchText(part: { number: string; maker: string; description: string }): string {
  const { number, maker, description } = part
  const pieces = [number, partNumberKey(number), maker, description]
  return [...new Set(pieces.map(searchNormal))].filter((piece) => piece !== '').join(' ')
}

/** What is kept beside a part's number, maker and description so that it is found: written wherever one of them is. */
export function partFound(part: { number: string; maker: string; description: string }): {
  makerKey: string
  numberKey: string
  searchText: string
} {
  return {
    makerKey: partNumberKey(part.maker),
    numberKey: partNumberKey(part.number),
    searchText: partSearchText(part),
  }
}
