import Link from 'next/link'
import { Field, Tick } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { importFigure } from './actions.ts'

export const metadata = { title: 'Bring in a figure' }

export default async function ImportPage() {
  await signedInWith('catalogue.import')
  return (
    <main className="page narrow stack" id="page">
      <h1>Bring in a figure</h1>
      <p>
        Most pages are read from a PDF, a scan or a photo at the <Link href={paths.desk()}>page desk</Link>.
      </p>
      <p>
        A figure is two files: the picture (PNG, JPEG, WebP, TIFF or SVG, at most 50 megapixels) and a JSON file with
        its callouts, its parts list and its strip order. The README shows what the JSON file looks like. It is all or
        nothing: when something stands in the way you are told what, row by row, and nothing is kept.
      </p>
      <ActionForm action={importFigure} formKey={freshKey()} submit="Bring it in" submitClassName="button primary big">
        <Field
          name="files[]"
          type="file"
          multiple
          required
          label="Picture and JSON file"
          hint="Choose both together."
          accept=".json,.png,.jpg,.jpeg,.webp,.tif,.tiff,.svg"
        />
        <Field name="maker" label="Maker" hint="Only when the JSON file does not name the maker of the machine." />
        <Field name="model" label="Model" hint="Only when the JSON file does not name it." />
        <Tick name="rehearse" label="Only rehearse: say what would be made and keep nothing" />
      </ActionForm>
    </main>
  )
}
