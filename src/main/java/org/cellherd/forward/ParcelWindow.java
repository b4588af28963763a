package org.cellherd.forward;

import java.security.SecureRandom;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.Journal;
import org.cellherd.store.Parcel;

/**
 * Which parcels are on their way: few, and only their numbers are in memory. One thread.
 *
 * <p>A parcel leaves the journal only when the centre names the token of its last sending and the
 * sum of what it holds: whoever cannot read the site's own topic cannot make one go missing. While
 * nobody answers, one parcel at a time is sent again after a pause that doubles; the first answer
 * lets the others go. What a centre refuses stays in the journal and is sent again much later.
 */
final class ParcelWindow {

  /** Parcels that are on their way at a time. */
  static final int MOST = 16;

  /** The longest pause while nobody answers: so late does forwarding go on after an outage. */
  static final long LONGEST_PAUSE_NANOS = 300_000_000_000L;

  /**
   * Pause before what was refused goes again, doubled up to a day: it may be that a newer program
   * runs at the centre by then.
   */
  static final long REFUSED_NANOS = 600_000_000_000L;

  private static final long LONGEST_REFUSED_NANOS = 86_400_000_000_000L;

  /** So many pauses without an answer, and somebody should look. */
  private static final int QUIET_PAUSES = 3;

  private final Journal journal;
  private final String log;
  private final long againNanos;
  private final SecureRandom tokens = new SecureRandom();
  private final Map<Long, Sent> byToken = new LinkedHashMap<>();
  private long lastRev;
  private boolean isShared;
  private int pauses;
  private long pausedNanos;

  /** When somebody last answered: what was sent before is lost, not waiting. */
  private OptionalLong answeredNanos = OptionalLong.empty();

  private long refusedPauseNanos = REFUSED_NANOS;
  private OptionalLong refusedNanos = OptionalLong.empty();

  ParcelWindow(Journal journal, String log, long againMs) {
    this.journal = journal;
    this.log = log;
    this.againNanos = againMs * 1_000_000;
  }

  /** A new connection: what was on its way may be lost. */
  void restart() {
    byToken.clear();
    lastRev = 0;
  }

  /** True when the centre gets another log under the name of this site. */
  boolean isShared() {
    return isShared;
  }

  /** True when nobody has answered although parcels were sent again and again. */
  boolean isUnanswered() {
    return pauses >= QUIET_PAUSES;
  }

  Optional<Parcel> next(long nowNanos) throws StorageFailure {
    sendRefusedAgain(nowNanos);
    Optional<Parcel> late = late(nowNanos);
    if (late.isPresent() || byToken.size() >= MOST) {
      return late;
    }
    Optional<Parcel> next = journal.after(lastRev, 1).stream().findFirst();
    next.ifPresent(parcel -> lastRev = parcel.rev());
    return next;
  }

  private void sendRefusedAgain(long nowNanos) {
    if (refusedNanos.isPresent() && nowNanos - refusedNanos.getAsLong() >= refusedPauseNanos) {
      refusedNanos = OptionalLong.empty();
      refusedPauseNanos = Math.min(LONGEST_REFUSED_NANOS, 2 * refusedPauseNanos);
      restart();
    }
  }

  /** A parcel of which nothing was heard for long; those that changed meanwhile come anyway. */
  private Optional<Parcel> late(long nowNanos) throws StorageFailure {
    for (Sent sent : List.copyOf(byToken.values())) {
      boolean isPassedOver =
          answeredNanos.isPresent() && sent.atNanos() - answeredNanos.getAsLong() < 0;
      boolean isPause = !isPassedOver && pauses > 0 && nowNanos - pausedNanos < pauseNanos();
      if (isPause || nowNanos - sent.atNanos() < againNanos) {
        return Optional.empty();
      }
      byToken.remove(sent.token());
      Optional<Parcel> again = journal.of(sent.rev());
      if (again.isPresent()) {
        if (!isPassedOver) {
          pauses++;
          pausedNanos = nowNanos;
        }
        return again;
      }
    }
    return Optional.empty();
  }

  private long pauseNanos() {
    return Math.min(LONGEST_PAUSE_NANOS, againNanos << Math.min(pauses - 1, 20));
  }

  /** A parcel is about to be sent: its token. */
  long sent(Parcel parcel, long nowNanos) {
    long token = tokens.nextLong();
    byToken.put(token, new Sent(parcel.rev(), parcel.crc(), token, nowNanos));
    return token;
  }

  /**
   * A centre says what it holds and what it refuses.
   *
   * @return what it refused, with its reasons
   */
  List<Refusal> heard(List<CentreAnswer> answers, long nowNanos) throws StorageFailure {
    List<Long> held = new ArrayList<>();
    List<Refusal> refused = new ArrayList<>();
    OptionalLong behind = OptionalLong.empty();
    for (CentreAnswer answer : answers) {
      Sent sent = answer.log().equals(log) ? byToken.remove(answer.token()) : null;
      if (sent == null) {
        continue;
      }
      pauses = 0;
      answeredNanos = OptionalLong.of(nowNanos);
      if (answer instanceof CentreAnswer.Refused no) {
        refusedNanos = OptionalLong.of(nowNanos);
        journal.of(sent.rev()).ifPresent(parcel -> refused.add(new Refusal(parcel, no.why())));
      } else if (answer instanceof CentreAnswer.Held there && sent.isHeldBy(there)) {
        isShared |= there.isShared();
        held.add(sent.rev());
      } else if (answer instanceof CentreAnswer.Held newer) {
        isShared |= newer.isShared();
        behind = OptionalLong.of(Math.max(newer.top(), newer.rev()));
      }
    }
    if (!held.isEmpty()) {
      journal.held(held);
    }
    if (behind.isPresent()) {
      journal.raiseAbove(behind.getAsLong());
      restart();
    }
    return refused;
  }

  /**
   * A parcel that a centre does not take.
   *
   * @param parcel as it is in the log
   * @param why what the centre says
   */
  record Refusal(Parcel parcel, String why) {}
}
