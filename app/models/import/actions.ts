'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { figureImport, figureRehearse } from '@/lib/db/figure-import.ts'
import { figureFolderFiles } from '@/lib/exchange/figure-folder.ts'
import { counted } from '@/lib/measure/counted.ts'
import { Refusal } from '@/lib/refusal.ts'

const Uploaded = z.object({
  files: z.array(z.instanceof(File)).min(1, 'choose the picture and the JSON file').max(6),
  maker: z.string().trim().max(80).optional(),
  model: z.string().trim().max(80).optional(),
  rehearse: z.string().optional(),
})

export const importFigure = action({
  right: 'catalogue.import',
  schema: Uploaded,
  kind: 'figure.import',
  run: async (context, { files, maker, model, rehearse }) => {
    const byName = new Map(files.map((file) => [file.name, file]))
    const folder = await figureFolderFiles(
      {
        names: [...byName.keys()],
        read: async (name) => {
          const file = byName.get(name)
          if (!file) throw new Refusal('import/unreadable', { file: name, why: 'it was not chosen' })
          return new Uint8Array(await file.arrayBuffer())
        },
      },
      { ...(maker ? { maker } : {}), ...(model ? { model } : {}) },
    )
    const input = { file: folder.file, picture: folder.picture, name: folder.name }
    const imported = rehearse ? null : await figureImport(context, input)
    const { made, warnings } = imported ?? (await figureRehearse(context, input))
    return {
      place: imported && { modelId: imported.modelId, figureId: imported.figureId },
      made,
      warnings: [...folder.warnings, ...warnings],
    }
  },
  then: ({ place, made, warnings }) => {
    if (place) return { redirect: paths.figure(place.modelId, place.figureId) }
    const warned = warnings.length > 0 ? ` Look at: ${warnings.join('; ')}` : ''
    return {
      says: `Nothing was kept. It would make ${counted(made.lines, 'line')}, ${counted(made.callouts, 'callout')} and ${counted(made.parts, 'new part')}.${warned}`,
    }
  },
})
