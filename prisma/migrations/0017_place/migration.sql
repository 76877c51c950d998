-- CreateTable
CREATE TABLE "PartBin" (
    "partId" INTEGER NOT NULL,
    "binId" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,

    PRIMARY KEY ("partId", "binId"),
    CONSTRAINT "PartBin_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "PartBin_binId_fkey" FOREIGN KEY ("binId") REFERENCES "Bin" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "PartBin_binId_idx" ON "PartBin"("binId");
