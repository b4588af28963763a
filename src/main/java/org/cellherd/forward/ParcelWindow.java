package org.cellherd.forward;

import java.security.SecureRandom;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.forward.wire.HeldText;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.parcel.Journal;
import org.cellherd.store.parcel.Parcel;

/**
 * Which parcels are on their way: few, and only their numbers are in memory. One thread.
 *
 * <p>A parcel leaves the journal only when the centre names the token of its last sending and the
 * sum of what it holds: whoever cannot read the site's own topic cannot make one go missing.
 */
final class ParcelWindow {

  /** Parcels that are on their way at a time. */
  static final int MOST = 16;

  private final Journal journal;
  private final String log;
  private final long againNanos;
  private final SecureRandom tokens = new SecureRandom();
  private final Map<Long, Sent> byToken = new LinkedHashMap<>();
  private long lastRev;
  private boolean isShared;

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

  /** The next parcel to send, if there is one and room for it. */
  Optional<Parcel> next(long nowNanos) throws StorageFailure {
    Optional<Parcel> late = late(nowNanos);
    if (late.isPresent() || byToken.size() >= MOST) {
      return late;
    }
    Optional<Parcel> next = journal.after(lastRev, 1).stream().findFirst();
    next.ifPresent(parcel -> lastRev = parcel.rev());
    return next;
  }

  /** A parcel of which nothing was heard for long; those that changed meanwhile come anyway. */
  private Optional<Parcel> late(long nowNanos) throws StorageFailure {
    for (Sent sent : List.copyOf(byToken.values())) {
      if (nowNanos - sent.atNanos() < againNanos) {
        return Optional.empty();
      }
      byToken.remove(sent.token());
      Optional<Parcel> again = journal.of(sent.rev());
      if (again.isPresent()) {
        return again;
      }
    }
    return Optional.empty();
  }

  /** A parcel is about to be sent: its token. */
  long sent(Parcel parcel, long nowNanos) {
    long token = tokens.nextLong();
    byToken.put(token, new Sent(parcel.rev(), parcel.crc(), token, nowNanos));
    return token;
  }

  /** A centre says what it holds. */
  void heard(List<HeldText> answers) throws StorageFailure {
    List<Long> held = new ArrayList<>();
    OptionalLong behind = OptionalLong.empty();
    for (HeldText answer : answers) {
      Sent sent = answer.log().equals(log) ? byToken.remove(answer.token()) : null;
      if (sent == null) {
        continue;
      }
      isShared |= answer.isShared();
      if (sent.rev() == answer.rev() && sent.crc() == answer.crc()) {
        held.add(sent.rev());
      } else {
        behind = OptionalLong.of(Math.max(answer.top(), answer.rev()));
      }
    }
    if (!held.isEmpty()) {
      journal.held(held);
    }
    if (behind.isPresent()) {
      journal.raiseAbove(behind.getAsLong());
      restart();
    }
  }
}
