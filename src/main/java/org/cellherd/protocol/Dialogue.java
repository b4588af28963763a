package org.cellherd.protocol;

import java.util.List;
import java.util.Optional;
import org.cellherd.pack.Reading;

/**
 * The talk with one board: what to ask next, what its bytes mean. Pure state; the poller owns time,
 * port and retries. Any bytes are taken, none ever throws. Belongs to one thread.
 *
 * <pre>
 * begin() ─► nextRequest() ─► feed()... ─► ANSWERED ─► nextRequest() ... empty ─► reading(t)
 *                  ▲              │ REFUSED or the poller's time-out
 *                  └── retry() ◄──┘
 * </pre>
 *
 * A listen-only dialogue never has a request; feed it, and ask {@link #reading} after each
 * ANSWERED.
 */
public interface Dialogue {

  /** What a chunk of bytes led to. */
  enum Progress {
    /** Nothing complete yet. */
    NEED_MORE,
    /** The outstanding request is answered (or, listening, a message was taken). */
    ANSWERED,
    /** A frame came and was refused; {@link #lastRefusal} says why. */
    REFUSED
  }

  /** Begins a poll cycle; forgets an unfinished one. */
  void begin();

  /** The next request of this cycle, or empty when all are answered. */
  Optional<Request> nextRequest();

  /** The outstanding request again, after a refusal or time-out, with a clean parser. */
  Optional<Request> retry();

  /** Takes bytes from the line. Stops reading at the first answer; the rest is kept for later. */
  Progress feed(byte[] chunk, int offset, int length);

  /** Says that the line has been silent for longer than between two bytes of a frame. */
  Progress silence();

  /** How many more bytes the answer needs at least, 1 when unknown. */
  int bytesWanted();

  /**
   * True when only a silence tells that a message is over. Else a pause inside a message is no end,
   * and {@link #silence} comes when an answer is given up.
   */
  default boolean endsBySilence() {
    return false;
  }

  /** True when this board talks by itself and is never asked. */
  boolean isListenOnly();

  /** True when a reading is whole without what was asked for last and has not come. */
  default boolean canDoWithout() {
    return false;
  }

  /** True when no answer, however late, can pass for that to another of this board's questions. */
  default boolean tellsAnswersApart() {
    return false;
  }

  /** What the board's description states of how long it takes and needs. */
  default Patience patience() {
    return Patience.UNSTATED;
  }

  /** The cycle's reading at a time in ms UTC, once complete; empty while parts are missing. */
  Optional<Reading> reading(long timeMs);

  /** Why the last frame was refused. */
  Optional<Refusal> lastRefusal();

  LineCounts counts();

  /**
   * What the board says of itself (serial number, firmware text) to notice another board; or "".
   */
  String boardIdentity();

  /** Raw values of the last cycle that have no place in a reading, for people: name, text. */
  List<Extra> extras();

  /** What the last cycle's messages told that is hard to believe or cannot be taken, and why. */
  default List<Doubt> doubts() {
    return List.of();
  }

  /**
   * A value that is hard to believe.
   *
   * @param name what it is of
   * @param text what was told and what would be right
   * @param isKept true when the reading has it all the same, so that limits are judged by it; false
   *     when it cannot be taken and the reading holds without it
   */
  record Doubt(String name, String text, boolean isKept) {}

  /** A described value without a place in a reading, such as a bit's name or a cycle count. */
  record Extra(String name, String text) {}
}
