import { database } from './client.ts'

/** Every index of words and the table it follows. */
const INDEXES = ['part_fts', 'part_words', 'job_words', 'figure_words', 'model_words', 'machine_words'] as const

/**
 * Compares each index of words with the table it follows, word by word; the database does it, and changes nothing. A fault here
 * means that search misses something, never that something is lost: `npm run migrate search` makes the indexes anew.
 */
export async function searchFaults(): Promise<string[]> {
  const faults: string[] = []
  for (const name of INDEXES) {
    try {
      // With 1 the content is compared too; without it only the index with itself.
      await database().$executeRawUnsafe(`INSERT INTO ${name}(${name}, rank) VALUES ('integrity-check', 1)`)
    } catch (error) {
      const why = error instanceof Error ? error.message.trim().split('\n').at(-1) : String(error)
      faults.push(`${name} does not say what its table says (${why}): run npm run migrate search`)
    }
  }
  return faults
}
