/** Rows of a plain CSV file (no quotes in it) by the names of its header. */
export function csvCells(text: string): Record<string, string>[] {
  const [header, ...lines] = text.trim().split(/\r?\n/)
  const names = header!.split(',')
  return lines.map((line) => {
    const cells = line.split(',')
    return Object.fromEntries(names.map((name, at) => [name, cells[at] ?? '']))
  })
}
