import Link from 'next/link'
import { BinField } from '@/app/_parts/bin-field.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { keepUnit, noUnit } from '@/app/shelf/old-units/actions.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { DEFERS, KEEP_CAUTION } from '@/lib/deposit/deposit-text.ts'

/** Which part an old unit came off for, and where. */
export interface OffFrom {
  partId: number
  number: string
  jobId?: number
  machineId?: number
}

function hiddenOf({ partId, jobId, machineId }: OffFrom): Record<string, number> {
  if (jobId !== undefined) return { partId, jobId }
  return machineId === undefined ? { partId } : { partId, machineId }
}

export function OldUnitCaution({ words }: { words: string }) {
  return (
    <p className="caution">
      <span aria-hidden="true">⚠ </span>
      {words} <span className="small soft">{DEFERS}</span>
    </p>
  )
}

/** Puts an old unit into a bin for old units. */
export async function KeepForm({ of }: { of: OffFrom }) {
  const bins = (await binsList()).filter((bin) => bin.kind === 'old-units')
  if (bins.length === 0)
    return (
      <p className="empty">
        There is no bin for old units yet: set one up under <Link href={paths.stores()}>Stores and bins</Link>.
      </p>
    )
  return (
    <ActionForm
      action={keepUnit}
      formKey={freshKey()}
      hidden={hiddenOf(of)}
      submit="Keep the old unit"
      aria-label={`Keep the old unit for ${of.number}`}
    >
      <OldUnitCaution words={KEEP_CAUTION} />
      <BinField
        name="binId"
        label="Into bin"
        bins={bins}
        now={bins.length === 1 ? [{ binId: bins[0]!.id, says: 'for old units' }] : []}
        nowSays="Proposed"
      />
      <Field
        name="serialNumber"
        label="Serial number (may be left empty)"
        hint="As it stands on its plate."
        maxLength={60}
        autoComplete="off"
      />
      <Field name="note" label="Its state, in words (may be left empty)" maxLength={200} autoComplete="off" />
    </ActionForm>
  )
}

/** Says that there is no old unit, so that nobody is asked for it any more. */
export function NoneForm({ of }: { of: OffFrom }) {
  return (
    <details>
      <summary className="button quiet">
        There is no old unit<span className="visually-hidden"> for {of.number}</span>
      </summary>
      <ActionForm
        action={noUnit}
        formKey={freshKey()}
        hidden={hiddenOf(of)}
        submit="There is none"
        submitClassName="button"
        aria-label={`There is no old unit for ${of.number}`}
      >
        <p>Its deposit is lost then, unless a spare one of the same part goes back.</p>
        <Field name="reason" label="Why" maxLength={200} autoComplete="off" />
      </ActionForm>
    </details>
  )
}
