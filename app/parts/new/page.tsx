import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { newPart } from '../[part]/actions.ts'
import { PartFields } from '../part-fields.tsx'

export const metadata = { title: 'Enter a part' }

export default async function NewPartPage() {
  await signedInWith('catalogue.edit')
  return (
    <main className="page narrow stack" id="page">
      <h1>Enter a part</h1>
      <p className="soft">
        Parts of a drawn figure come in with their figure. This is for what no book lists: seal compound, a bolt from
        the merchant, a part of an old machine.
      </p>
      <ActionForm action={newPart} formKey={freshKey()} submit="Enter it">
        <PartFields />
      </ActionForm>
    </main>
  )
}
