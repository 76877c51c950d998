import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { modelRead } from '@/lib/db/machine.ts'
import { figuresElsewhere } from '@/lib/db/model-figure.ts'
import { counted } from '@/lib/measure/counted.ts'
import { attachFigure } from '../actions.ts'

export const metadata = { title: 'Use a figure of another model' }

export default async function AttachPage(props: {
  params: Promise<{ model: string }>
  searchParams: Promise<{ q?: string }>
}) {
  await signedInWith('catalogue.import')
  const model = await found(modelRead(idOf((await props.params).model)))
  const query = ((await props.searchParams).q ?? '').slice(0, 100)
  const figures = await figuresElsewhere(model.id, query)
  return (
    <main className="page narrow stack" id="page">
      <div>
        <p className="over">
          <Link href={paths.model(model.id)}>
            {model.maker} {model.name}
          </Link>
        </p>
        <h1>Use a figure of another model</h1>
      </div>
      <p>
        Makers draw an assembly once and print it in several books. The figure stays one: what is put right in it is
        right for every model, and serial breaks are read for the machine in hand.
      </p>
      <form className="row end" method="get">
        <div className="field">
          <label htmlFor="q">Title or number of the figure</label>
          <input id="q" type="search" name="q" defaultValue={query} />
        </div>
        <button type="submit" className="button">
          Find
        </button>
      </form>
      {figures.length === 0 ? (
        <p className="empty">
          No figure of another model answers. <Link href={paths.figureImport()}>Bring it in</Link> for one of them
          first.
        </p>
      ) : (
        <ActionForm
          action={attachFigure}
          formKey={freshKey()}
          submit="Put it in this book"
          hidden={{ modelId: model.id }}
        >
          <SelectField name="figureId" label={figures.length === 30 ? 'Figure (the first 30)' : 'Figure'}>
            {figures.map((figure) => (
              <option key={figure.id} value={figure.id}>
                {figure.number} {figure.title}, {figure.model} ({counted(figure.lines, 'line')})
              </option>
            ))}
          </SelectField>
          <Field name="number" label="Its number in this book" autoComplete="off" required />
        </ActionForm>
      )}
    </main>
  )
}
