package org.cellherd.board;

import java.time.Duration;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineSettings;

/**
 * One board of a line.
 *
 * @param pack id of the pack that it watches
 * @param dialogue how to talk with it; handed over to the poller's thread
 * @param line how the line is set; the same for all boards of one line
 * @param pace time from one poll to the next, or, of a board that talks by itself, from one reading
 *     that is taken to the next and the longest usual time between two
 */
public record BoardOnLine(String pack, Dialogue dialogue, LineSettings line, Duration pace) {

  /** The id of a board that watches no pack. */
  public static final String ALONE = "board";

  /** The only board of a line that is asked once a second, for no pack of a config. */
  public static BoardOnLine alone(Dialogue dialogue, LineSettings line) {
    return new BoardOnLine(ALONE, dialogue, line, Duration.ofSeconds(1));
  }

  /** Refuses a pace that no line can keep. */
  public BoardOnLine {
    if (pace.isNegative() || pace.isZero()) {
      throw new IllegalArgumentException("pace " + pace + " of pack " + pack + " is not positive");
    }
  }
}
