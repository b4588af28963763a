package org.cellherd.analysis.meter;

import java.util.Optional;
import org.cellherd.analysis.BoardCount;
import org.cellherd.analysis.fold.History;
import org.cellherd.pack.StorageFailure;

/**
 * A meter's reading beside what the board said.
 *
 * @param meter the reading
 * @param board the board's side; empty where the log does not hold it
 */
public record Compared(MeterReading meter, Optional<BoardCount> board) {

  /** Looks the board's side up in the log. */
  public static Compared in(History history, String pack, MeterReading meter)
      throws StorageFailure {
    return new Compared(meter, BoardSaid.of(history, pack, meter));
  }
}
