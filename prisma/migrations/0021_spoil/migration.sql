-- CreateTable
CREATE TABLE "ConsignmentLot" (
    "lineId" INTEGER NOT NULL,
    "batchId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,
    "gone" INTEGER NOT NULL DEFAULT 0,

    PRIMARY KEY ("lineId", "batchId"),
    CONSTRAINT "ConsignmentLot_lineId_fkey" FOREIGN KEY ("lineId") REFERENCES "ConsignmentLine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ConsignmentLot_batchId_fkey" FOREIGN KEY ("batchId") REFERENCES "Batch" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "ConsignmentLot_batchId_idx" ON "ConsignmentLot"("batchId");

-- CreateIndex
CREATE INDEX "Batch_expiresOn_idx" ON "Batch"("expiresOn");
