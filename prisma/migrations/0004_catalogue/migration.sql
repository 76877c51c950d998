-- AlterTable
ALTER TABLE "JobNeed" ADD COLUMN "insteadOf" TEXT;

-- AlterTable
ALTER TABLE "Part" ADD COLUMN "discontinuedNote" TEXT;
ALTER TABLE "Part" ADD COLUMN "discontinuedOn" TEXT;

-- AlterTable
ALTER TABLE "PartsListLine" ADD COLUMN "orderItem" TEXT;
ALTER TABLE "PartsListLine" ADD COLUMN "serialRanges" TEXT;

-- CreateTable
CREATE TABLE "Alternative" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "wantedPartId" INTEGER NOT NULL,
    "usedPartId" INTEGER NOT NULL,
    "interchange" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "approvedById" TEXT NOT NULL,
    "approvedAt" DATETIME NOT NULL,
    "withdrawnById" TEXT,
    "withdrawnAt" DATETIME,
    CONSTRAINT "Alternative_wantedPartId_fkey" FOREIGN KEY ("wantedPartId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Alternative_usedPartId_fkey" FOREIGN KEY ("usedPartId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "PartNote" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "partId" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "pictureId" TEXT,
    "documentId" TEXT,
    "fileName" TEXT,
    "personId" TEXT NOT NULL,
    "at" DATETIME NOT NULL,
    "removedById" TEXT,
    "removedAt" DATETIME,
    CONSTRAINT "PartNote_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "PartNote_pictureId_fkey" FOREIGN KEY ("pictureId") REFERENCES "Picture" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "PartNote_documentId_fkey" FOREIGN KEY ("documentId") REFERENCES "Document" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Document" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "mediaType" TEXT NOT NULL,
    "extension" TEXT NOT NULL,
    "bytes" INTEGER NOT NULL,
    "createdAt" DATETIME NOT NULL
);

-- CreateIndex
CREATE INDEX "Alternative_wantedPartId_idx" ON "Alternative"("wantedPartId");

-- CreateIndex
CREATE INDEX "Alternative_usedPartId_idx" ON "Alternative"("usedPartId");

-- CreateIndex
CREATE INDEX "PartNote_partId_idx" ON "PartNote"("partId");
