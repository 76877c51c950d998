/** The text of a trigger as SQLite keeps it: without IF NOT EXISTS, quotes of the name, line breaks and the last semicolon. */
function plain(sql: string): string {
  return sql
    .replace(/^\s*CREATE\s+TRIGGER\s+(IF\s+NOT\s+EXISTS\s+)?"?(\w+)"?/i, 'CREATE TRIGGER $2')
    .replace(/;\s*$/, '')
    .replace(/\s+/g, ' ')
    .trim()
}

/** Says which triggers of the migrations are missing from a database, or stand there with another text. */
export function guardFaults(
  wanted: ReadonlyMap<string, string>,
  there: readonly { name: string; sql: string | null }[],
): string[] {
  const found = new Map(there.map((row) => [row.name, row.sql ?? '']))
  return [...wanted].flatMap(([name, sql]) => {
    const kept = found.get(name)
    if (kept === undefined) return [`trigger ${name} is missing`]
    return plain(kept) === plain(sql) ? [] : [`trigger ${name} was changed`]
  })
}
