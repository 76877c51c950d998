import table from './class-words.json'
import { PART_CLASSES, type PartClass } from './part-class.ts'

/**
 * The class that a description says, for a new part: what it is called (the last word before the first comma, "with", "for",
 * "of") and what else is said of it, whichever side of the comma that stands on: "split pin, 5 x 40" and "PIN, SPLIT" are one.
 * Null when the words are said of several kinds of parts (a lock nut may be plain or prevailing-torque, a shoe of a brake or of
 * a skid), or name two parts at once: companion rules go by the class, so a guess would be worse than none.
 * Example: partClassSaid('Nut, castellated, M24') is 'castle-nut'. Source of the words: common practice, no source.
 */
export function partClassSaid(description: string): PartClass | null {
  const text = description
    .toLowerCase()
    .replace(/\([^)]*\)/g, ' ')
    .replace(/[-–_./]+/g, ' ')
  const [name = '', ...more] = text.split(/[,;:]/)
  const head = words(name.split(/\b(?:with|w|without|for|of|to|from|in|on)\b/)[0] ?? '')
  if (/\b(?:and|or)\b|[&+]/.test(name) || head.length === 0) return null
  const qualifiers = more.flatMap((part) => words(part.split(/\b(?:with|without|for|of|to)\b/)[0] ?? ''))
  const noun = [2, 1].map((count) => head.slice(-count).join(' ')).find((one) => NOUNS.has(one))
  if (noun === undefined) return null
  const first = head[0] ?? ''
  // "BEARING ROLLER", "WASHER SPRING": lists without commas turn the words round, and the last word is not the part.
  if (head.length > 1 && TURNED.has(first) && !noun.startsWith(first) && (noun === 'roller' || noun === 'spring'))
    return null
  const said = new Set([...head.slice(0, head.length - noun.split(' ').length), ...qualifiers])
  for (const { needs, is } of NOUNS.get(noun)!) if (needs.every((word) => said.has(word))) return is
  return null
}

const TURNED: ReadonlySet<string> = new Set(['bearing', 'washer', 'nut', 'bolt', 'screw', 'pin', 'seal'])

interface Sense {
  /** Words that must be said beside the noun. */
  needs: string[]
  is: PartClass | null
}

const NOUNS: ReadonlyMap<string, Sense[]> = new Map(
  Object.entries(table.nouns as Record<string, (string | null)[][]>).map(([noun, senses]) => [
    noun,
    senses.map(([needs, is]) => ({ needs: words(needs ?? ''), is: PART_CLASSES.find((one) => one === is) ?? null })),
  ]),
)

/** Words without numbers and sizes, one of several where a list counts them: "bolts" is "bolt". */
function words(text: string): string[] {
  return text
    .split(/\s+/)
    .filter((word) => /^[a-z]+$/.test(word))
    .map((word) => (/[^s]s$/.test(word) && word.length > 3 && word !== 'gas' ? word.slice(0, -1) : word))
}
