import { type BinChoice, BinField } from '@/app/_parts/bin-field.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { OldUnitRow } from '@/lib/db/deposit-read.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { moveUnit, scrapUnit } from './actions.ts'

/** What else can be done with an old unit that is kept: put it elsewhere, or scrap it. */
export function UnitMore(props: { unit: OldUnitRow; roles: readonly Role[]; bins: readonly BinChoice[] }) {
  const { unit, roles, bins } = props
  const others = bins.filter((bin) => bin.id !== unit.bin?.id)
  const named = (
    <span className="visually-hidden">
      {' '}
      {unit.number} {unit.serialNumber}
    </span>
  )
  return (
    <>
      {others.length > 0 && mayDo(roles, 'stock.transfer') ? (
        <details>
          <summary className="button quiet">Put it elsewhere{named}</summary>
          <ActionForm
            action={moveUnit}
            formKey={freshKey()}
            hidden={{ unitId: unit.id }}
            submit="Put it there"
            submitClassName="button"
            aria-label={`Put the old unit ${unit.number} elsewhere`}
          >
            <BinField name="binId" label="Into bin" bins={others} />
          </ActionForm>
        </details>
      ) : null}
      {mayDo(roles, 'buying.return') ? (
        <details>
          <summary className="button quiet">It will not go back{named}</summary>
          <ActionForm
            action={scrapUnit}
            formKey={freshKey()}
            hidden={{ unitId: unit.id }}
            submit="Scrap the old unit"
            submitClassName="button"
            aria-label={`Scrap the old unit ${unit.number}`}
          >
            <p className="caution">
              Oil, fuel and batteries are no ordinary rubbish: follow the safety data sheet and the local rules for
              waste. Its deposit is lost, unless a spare one of the same part goes back.
            </p>
            <Field name="reason" label="Why" maxLength={200} autoComplete="off" />
          </ActionForm>
        </details>
      ) : null}
    </>
  )
}
