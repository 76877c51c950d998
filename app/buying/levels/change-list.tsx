import Link from 'next/link'
import { Field, Tick } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { LevelList, LevelRow } from '@/lib/db/level-list.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { type LevelQuestion, levelsSeen } from '@/lib/replenish/decide.ts'
import { decideLevels } from './actions.ts'

interface ListOf {
  list: LevelList
  question: LevelQuestion
  currency: string
  mayDecide: boolean
}

/** The changes that wait, to tick and say yes or no to; without the right to it only to look at. */
export function ChangeList({ list, question, currency, mayDecide }: ListOf) {
  const { rows, count, runId } = list
  if (!mayDecide) return rows.length === 0 ? null : <Rows rows={rows} currency={currency} mayDecide={false} />
  const hidden = { runId, way: question.way, ...(question.partClass ? { partClass: question.partClass } : {}) }
  return (
    <ActionForm action={decideLevels} formKey={freshKey()} hidden={hidden} aria-label="Decide on these levels">
      {/* Stays when nothing is left to decide: it says what was. */}
      {rows.length === 0 ? null : (
        <>
          <p className="small">
            <a href="#decide">Past the list to the decision</a>
          </p>
          <Rows rows={rows} currency={currency} mayDecide />
          <div id="decide" tabIndex={-1}>
            <Tick name="all" label={`All of the list: ${counted(count, 'change')}, ticked or not`} />
          </div>
          <Field
            name="reason"
            label="Why not"
            hint="Only for a no. The same is not proposed again."
            maxLength={200}
            autoComplete="off"
          />
          <div className="row">
            <SubmitButton name="decision" value="confirm">
              Keep these levels
            </SubmitButton>
            <SubmitButton name="decision" value="refuse" className="button">
              Refuse
            </SubmitButton>
          </div>
        </>
      )}
    </ActionForm>
  )
}

/** "2, up to 6" */
function levelSays(level: LevelRow['before'], unit: StockUnit): string {
  if (level === null) return 'none'
  return `${quantityFormat(level.reorderPoint, unit)}, up to ${quantityFormat(level.orderUpTo, unit)}`
}

function Rows({ rows, currency, mayDecide }: { rows: readonly LevelRow[]; currency: string; mayDecide: boolean }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Changes of levels, those that move most money first</caption>
      <thead>
        <tr>
          {mayDecide ? <th scope="col">Tick</th> : null}
          <th scope="col">Part</th>
          <th scope="col">Kept now</th>
          <th scope="col">Proposed</th>
          <th scope="col" className="right">
            Stock money
          </th>
          <th scope="col">Why</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.partId}>
            {mayDecide ? (
              <td>
                {row.isStale ? null : (
                  <label className="tick">
                    <input type="checkbox" name={`part.${row.partId}`} value={levelsSeen(row.after)} />
                    <span className="visually-hidden">{row.number}</span>
                  </label>
                )}
              </td>
            ) : null}
            <td className="wide">
              <Link href={paths.partLevel(row.partId)} prefetch={false}>
                <span className="number">{row.number}</span>
              </Link>{' '}
              {row.description}
            </td>
            <td className="wide" data-label="Kept now">
              {levelSays(row.before, row.unit)}
            </td>
            <td className="wide strong" data-label="Proposed">
              {levelSays(row.after, row.unit)}
            </td>
            <td className="right wide" data-label="Stock money">
              {row.moneyMinor > 0 ? '+' : ''}
              {moneyFormat(row.moneyMinor, currency)}
            </td>
            <td className="wide small">
              {row.isStale ? (
                <span className="strong">The level was changed since it was reckoned: reckon anew. </span>
              ) : null}
              {row.reason}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
