/** Indexes of words over one table each; the table they follow is their content. */
export const WORD_INDEXES = ['part_words', 'job_words', 'figure_words', 'model_words', 'machine_words'] as const

/** Made by migrations as virtual tables, unknown to the schema: a difference must pass over them and what they are kept in. */
export const SEARCH_TABLES: string[] = [
  ...['', '_config', '_data', '_docsize', '_idx'].map((tail) => `part_fts${tail}`),
  ...WORD_INDEXES.flatMap((name) => ['', '_config', '_data', '_idx'].map((tail) => `${name}${tail}`)),
  ...['part', 'job', 'figure', 'model', 'machine'].map((noun) => `${noun}_vocabulary`),
]
