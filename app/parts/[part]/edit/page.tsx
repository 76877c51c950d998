import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { Field, TextField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { partKits } from '@/lib/db/kit.ts'
import { type PartToEdit, partToEdit } from '@/lib/db/part-edit.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { PartFields } from '../../part-fields.tsx'
import { changePart, discontinue, removeKitContent, setKitContent, takeUpAgain } from '../actions.ts'

export const metadata = { title: 'Change the part' }

export default async function EditPartPage({ params }: { params: Promise<{ part: string }> }) {
  await signedInWith('catalogue.edit')
  const part = await found(partToEdit(idOf((await params).part)))
  return (
    <main className="page narrow stack loose" id="page">
      <div>
        <p className="over">
          <Link href={paths.part(part.id)}>
            {part.maker} {part.number}
          </Link>
        </p>
        <h1>Change the part</h1>
      </div>
      <ActionForm action={changePart} formKey={freshKey()} submit="Keep it so" hidden={{ partId: part.id }}>
        <PartFields part={part} unitLocked={part.unitLocked} />
      </ActionForm>
      <Made part={part} />
      <Contents part={part} />
    </main>
  )
}

function Made({ part }: { part: PartToEdit }) {
  return (
    <section className="stack tight" aria-labelledby="made">
      <h2 id="made">{part.discontinuedOn === null ? 'No longer made?' : 'No longer made'}</h2>
      <p className="soft">
        A part marked so is never proposed for an order. Where another part replaces it, enter that as well:{' '}
        <Link href={paths.partInstead(part.id)}>what replaces it</Link>.
      </p>
      <ActionForm action={discontinue} formKey={freshKey()} hidden={{ partId: part.id }}>
        <Field name="on" type="date" label="Since" defaultValue={part.discontinuedOn ?? undefined} required />
        <TextField
          name="note"
          label="Who says so, and what they offer instead"
          rows={2}
          defaultValue={part.discontinuedNote ?? undefined}
        />
        <SubmitButton className="button">
          {part.discontinuedOn === null ? 'Mark as no longer made' : 'Change the mark'}
        </SubmitButton>
      </ActionForm>
      {part.discontinuedOn === null ? null : (
        <ActionForm
          action={takeUpAgain}
          formKey={freshKey()}
          submit="It is made again: take the mark off"
          submitClassName="button quiet"
          hidden={{ partId: part.id }}
        />
      )}
    </section>
  )
}

async function Contents({ part }: { part: PartToEdit }) {
  const { contents } = await partKits(part.id)
  return (
    <section className="stack tight" aria-labelledby="contents">
      <h2 id="contents">Kit contents</h2>
      <p className="soft">
        {contents.length === 0 ? 'It holds no other parts. Add one, and it is a kit.' : 'What one of it holds.'}
      </p>
      {contents.length > 0 ? (
        <ul className="plain-list">
          {contents.map((content) => (
            <li key={content.partId} className="row spread">
              <span>
                {quantityFormat(content.quantity, content.unit)} x <span className="number">{content.number}</span>{' '}
                {content.description}
              </span>
              <ActionForm
                action={removeKitContent}
                formKey={freshKey()}
                className=""
                submit={
                  <>
                    Take out<span className="visually-hidden"> {content.number}</span>
                  </>
                }
                submitClassName="button quiet"
                hidden={{ kitId: part.id, contentId: content.partId }}
              />
            </li>
          ))}
        </ul>
      ) : null}
      <details>
        <summary className="button quiet">Add or change a content</summary>
        <ActionForm action={setKitContent} formKey={freshKey()} hidden={{ kitId: part.id }}>
          <Field name="number" label="Part number" autoComplete="off" required />
          <Field name="maker" label="Maker" hint="Only where several makers use that number." autoComplete="off" />
          <Field
            name="quantity"
            label="How many in one kit"
            hint="In the stock unit of the content."
            inputMode="decimal"
            className="input-number"
            required
          />
          <SubmitButton className="button">Put it in</SubmitButton>
        </ActionForm>
      </details>
    </section>
  )
}
