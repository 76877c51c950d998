-- CreateIndex
CREATE INDEX "Batch_expiresOn_idx" ON "Batch"("expiresOn");
