'use client'

import { type DragEvent, useRef, useState } from 'react'
import { ActionForm } from '@/app/_server/form.tsx'
import { bringPage } from './actions.ts'
import styles from './desk.module.css'

const ACCEPT = '.pdf,.png,.jpg,.jpeg,.webp,.tif,.tiff,application/pdf,image/png,image/jpeg,image/webp,image/tiff'

/** Drop, choose or photograph a page. Without scripts the two fields work by themselves. */
export function BringForm({ figureId, formKey }: { figureId: number | null; formKey: string }) {
  const files = useRef<HTMLInputElement>(null)
  const [over, setOver] = useState(false)
  const [chosen, setChosen] = useState<string[]>([])
  const [photo, setPhoto] = useState(false)

  function drop(event: DragEvent) {
    event.preventDefault()
    setOver(false)
    const field = files.current
    if (!field || event.dataTransfer.files.length === 0) return
    field.files = event.dataTransfer.files
    setChosen([...event.dataTransfer.files].map((file) => file.name))
  }

  return (
    <ActionForm
      action={bringPage}
      formKey={formKey}
      hidden={figureId === null ? {} : { figureId }}
      submit="Read it"
      submitClassName="button primary big"
      aria-label="Bring a page"
    >
      {/* Dropping is a short cut: the field inside takes the same files by keyboard. */}
      <fieldset
        className={`${styles.drop} ${over ? styles.over : ''}`}
        onDragOver={(event) => {
          event.preventDefault()
          setOver(true)
        }}
        onDragLeave={() => setOver(false)}
        onDrop={drop}
      >
        <legend className="visually-hidden">Files</legend>
        <div className="field">
          <label htmlFor="desk-files">PDF, scan or picture</label>
          <p className="hint" id="desk-files-hint">
            Choose or drop it here; several at once are taken too. At most 60 MB together.
          </p>
          <input
            ref={files}
            id="desk-files"
            type="file"
            name="files[]"
            multiple
            accept={ACCEPT}
            aria-describedby="desk-files-hint"
            onChange={(event) => setChosen([...(event.target.files ?? [])].map((file) => file.name))}
          />
        </div>
        <div className="field">
          <label htmlFor="desk-photo">Or photograph the page</label>
          <p className="hint" id="desk-photo-hint">
            Lay it flat in even light, the whole page in the picture, the camera straight above.
          </p>
          <input
            id="desk-photo"
            type="file"
            name="files[]"
            accept="image/*"
            capture="environment"
            aria-describedby="desk-photo-hint"
            onChange={(event) => setPhoto((event.target.files ?? []).length > 0)}
          />
        </div>
        <p role="status" className="small soft">
          {chosen.length + (photo ? 1 : 0) > 0
            ? `Chosen: ${[...chosen, ...(photo ? ['a photo'] : [])].join(', ')}`
            : 'Nothing chosen yet.'}
        </p>
      </fieldset>
    </ActionForm>
  )
}
