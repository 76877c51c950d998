import { SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { ExchangeLook } from '@/lib/db/exchange.ts'
import type { Run } from '@/lib/db/exchange-run.ts'
import { columnsOf } from '@/lib/exchange/columns.ts'
import { columnsGuess } from '@/lib/exchange/match.ts'
import { counted } from '@/lib/measure/counted.ts'
import { rehearseFile } from '../../actions.ts'
import css from './run.module.css'

/** Which header of the file is which column, with the first rows to see it by. */
export function Match({ run, look, open }: { run: Run; look: ExchangeLook; open: boolean }) {
  const { places, unused } = columnsGuess(run.kind, look.header, run.state.byHand)
  const columns = columnsOf(run.kind)
  const field = ([name, column]: (typeof columns)[number]) => (
    <SelectField
      key={name}
      name={`column.${name}`}
      label={`${name.replaceAll('_', ' ')}${column.required ? ' (needed)' : ''}`}
      hint={column.says}
      defaultValue={places.get(name) === undefined ? 'none' : String(places.get(name))}
    >
      <option value="none">not in the file</option>
      {look.header.map((header, at) =>
        header === '' ? null : (
          <option value={at} key={`${header} ${String(at)}`}>
            {header}
          </option>
        ),
      )}
    </SelectField>
  )
  const matched = columns.filter(([name, column]) => column.required || places.has(name))
  const others = columns.filter(([name, column]) => !column.required && !places.has(name))
  return (
    <details className="sheet" open={open}>
      <summary className={`strong ${css.head}`}>Columns and first rows</summary>
      <div className="stack loose">
        <Preview look={look} />
        <ActionForm
          action={rehearseFile}
          formKey={freshKey()}
          hidden={{ run: run.id }}
          submit="Rehearse"
          submitClassName="button primary big"
          aria-label="Match the columns"
        >
          <p id="match">
            Each column of ours beside the header of the file that fills it.{' '}
            {unused.length > 0 ? `Not used: ${unused.join(', ')}.` : 'Every header has its place.'}
          </p>
          <div className={css.columns}>{matched.map(field)}</div>
          {others.length > 0 ? (
            <details>
              <summary className="button">Columns that the file does not seem to have ({others.length})</summary>
              <div className={css.columns}>{others.map(field)}</div>
            </details>
          ) : null}
        </ActionForm>
      </div>
    </details>
  )
}

function Preview({ look }: { look: ExchangeLook }) {
  const header = look.header.map((name, at) => ({ name: name || `column ${at + 1}`, key: `${name} ${String(at)}` }))
  const rows = look.head.map((cells, at) => ({ cells, key: `row ${String(at)}` }))
  return (
    <section aria-labelledby="preview">
      <h2 id="preview">
        {counted(look.rows, 'row')}; the first {rows.length}
      </h2>
      <div className="scroll-x">
        <table className={css.preview}>
          <caption className={css.past}>
            <a href="#match">Past the rows to the columns</a>
          </caption>
          <thead>
            <tr>
              {header.map(({ name, key }) => (
                <th scope="col" key={key}>
                  {name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ cells, key }) => (
              <tr key={key}>
                {header.map((column, at) => (
                  <td key={column.key}>{(cells[at] ?? '').slice(0, 60)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}
