import { columnsOf, KIND_NAMES, KINDS } from './columns.ts'

const TYPES = {
  text: 'text',
  date: 'date as 2026-11-25',
  identifier: 'text with a letter or digit',
  quantity: 'decimal, in the stock unit',
  money: 'decimal, at most two places',
  number: 'number',
  choice: 'word',
  'yes-no': 'yes or no',
} as const

const HEAD = `# Columns of lists

What \`cotterbook import\`, \`cotterbook export\` and the screen Import and export read and write: one set of columns a kind, the
same for CSV, XLSX and JSON. This page is printed from \`lib/exchange/columns.ts\` by \`npm run columns\`; a test holds it to it.

- The first row names the columns. They may stand in any order; other headers are told and not used. Headers are compared without
  case, spaces and signs, and the words after Also called are understood too; anything else is matched by hand.
- An empty cell leaves what is kept, and for something new takes the default. Nothing is ever deleted by an import.
- Numbers have a decimal point or a decimal comma. \`1,500\` is refused unless other numbers of the file prove its comma a decimal one.
- CSV may be UTF-8, UTF-16 or Windows-1252, separated by semicolon, comma, tab or bar. A text that a spreadsheet would run as a
  formula (it begins with = + - @, tab or carriage return) is written with an apostrophe in front, which reading takes off.
- JSON is a list of objects with these names. In XLSX the first sheet that is not hidden is read.
- At most 100 MB, 250,000 rows and 200 columns. A file comes in as a whole or not at all; of price lists the right rows may be taken without the others, a part with all its breaks or not at all.
`

/** docs/columns.md. */
export function columnsPage(): string {
  const kinds = KIND_NAMES.map((kind) => {
    const { title, says, key } = KINDS[kind]
    const rows = columnsOf(kind).map(([name, { type, says: what, required, words }]) => {
      const also = words.length > 0 ? ` Also called: ${words.join(', ')}.` : ''
      return `- \`${name}\`${required ? ' (needed)' : ''}, ${TYPES[type]}: ${what}.${also}`
    })
    return `## ${title}: \`${kind}\`\n\nHolds ${says}. Known by ${key}.\n\n${rows.join('\n')}\n`
  })
  return [HEAD, ...kinds].join('\n')
}
