import Link from 'next/link'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { BinRow } from '@/lib/db/place-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { BIN_KINDS, BIN_KINDS_GIVEN } from '@/lib/stock/bin-kind.ts'
import { changeBin, closeBin } from '../actions.ts'

/** One bin: its code, what it is for, where it stands on the walk, and closing it. */
export function BinChange({ storeId, bin, last }: { storeId: number; bin: BinRow; last: number }) {
  return (
    <section className="sheet stack" aria-labelledby="change">
      <div className="row spread">
        <h2 id="change">
          Change bin <span className="number">{bin.code}</span>
        </h2>
        <div className="row">
          <Link className="button quiet" href={paths.store(storeId, { put: bin.id })} prefetch={false}>
            {bin.square ? 'Put it elsewhere on the map' : 'Put it on the map'}
          </Link>
          <Link className="button quiet" href={paths.store(storeId)} prefetch={false}>
            Done
          </Link>
        </div>
      </div>
      <ActionForm
        action={changeBin}
        formKey={freshKey()}
        hidden={{ binId: bin.id }}
        aria-label={`Change bin ${bin.code}`}
      >
        <Field name="code" label="Code" maxLength={20} autoComplete="off" defaultValue={bin.code} />
        <SelectField
          name="kind"
          label="What it is for"
          hint="What lies in quarantine or waits to go back is free for nobody."
          defaultValue={bin.kind}
        >
          {BIN_KINDS_GIVEN.map((kind) => (
            <option key={kind} value={kind}>
              {BIN_KINDS[kind].says}
            </option>
          ))}
        </SelectField>
        <Field
          name="place"
          label={`Place on the walk, 1 to ${last}`}
          className="input-number"
          inputMode="numeric"
          autoComplete="off"
          defaultValue={bin.place}
        />
        <SubmitButton>Save</SubmitButton>
      </ActionForm>
      {bin.parts > 0 ? (
        <p className="soft">
          {counted(bin.parts, 'part')} {bin.parts === 1 ? 'lies' : 'lie'} here. A bin is closed once it is empty:{' '}
          <Link href={paths.bin(bin.id)} prefetch={false}>
            move the whole bin
          </Link>
          .
        </p>
      ) : (
        <ActionForm
          action={closeBin}
          formKey={freshKey()}
          hidden={{ binId: bin.id }}
          submit="Close this bin"
          submitClassName="button"
          aria-label={`Close bin ${bin.code}`}
        />
      )}
    </section>
  )
}
