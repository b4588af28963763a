package org.cellherd.app.verb;

import java.util.Optional;
import org.cellherd.analysis.plausible.PlausibilityFold;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Dialogue;

/** Whether a reading's cells add up to its pack. */
final class CellSum {

  private CellSum() {}

  /** The doubt where they do not; empty where either is not told. */
  static Optional<Dialogue.Doubt> doubt(Reading reading) {
    if (!PlausibilityFold.isSumDoubtful(reading)) {
      return Optional.empty();
    }
    String text =
        "is "
            + Spoken.packVolts(reading.packMv().orElseThrow())
            + ", the cells add up to "
            + Spoken.packVolts(reading.cells().sumTenthMv().orElseThrow() / 10.0)
            + ": wrong scale or place, or a cell is missing";
    return Optional.of(new Dialogue.Doubt("pack voltage", text, true));
  }
}
