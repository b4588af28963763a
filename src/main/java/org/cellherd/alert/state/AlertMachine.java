package org.cellherd.alert.state;

import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.state.Timing.Same;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PlainText;

/**
 * The one state machine of every alert, for one key; its states are drawn at {@link AlertState}.
 *
 * <p>Equality with a limit is no alarm; the deadband acts on the way back only. A moment without a
 * judgement freezes it: neither delay advances and nothing clears; what was still waiting to be
 * told is dated anew after long. On-delay and off-delay as in OPC UA part 9. What comes back within
 * two hours is told once as such and then stays listed through its pauses ({@link Recurrence}).
 * Belongs to the engine's thread.
 */
public final class AlertMachine {
  private static final int MOST_NAME = 80;

  /** Longer without a judgement nobody knows that a condition held; shorter is a poll or two. */
  private static final long LONGEST_UNJUDGED_MS = 5 * 60_000;

  private final AlertKey key;
  private final String unit;
  private final Timing timing;
  private final OnDelays onDelays;
  private final Delay offDelay = new Delay();
  private final Repeats repeats = new Repeats();
  private final Recurrence recurrence;
  private final Account account = new Account();
  private final Occurrence occurrence;

  private AlertState state = AlertState.NORMAL;
  private int level;
  private int wanted;
  private long sinceMs;
  private long stateMs;
  private long judgedMs;
  private boolean judgedLast;
  private Optional<String> seenBy = Optional.empty();
  private boolean clockSure = true;

  /** A machine at rest. */
  public AlertMachine(AlertKey key, String unit, Timing timing) {
    this.key = key;
    this.unit = unit;
    this.timing = timing;
    this.onDelays = new OnDelays(timing);
    this.recurrence = new Recurrence(timing.same() == Same.CHARGE);
    this.occurrence = new Occurrence(key);
  }

  /** The alert's id, empty while nothing was ever wrong. */
  public String id() {
    return occurrence.id();
  }

  public AlertState state() {
    return state;
  }

  /** True when there is something to watch: not normal. */
  public boolean isAlive() {
    return state != AlertState.NORMAL;
  }

  /** True when people were told and it is not over. */
  public boolean stands() {
    return isAlive() && state != AlertState.PENDING;
  }

  /** True while a critical level waits for more readings before people are told. */
  public boolean awaitsCritical() {
    int told = state == AlertState.PENDING || state == AlertState.RETURNED ? 0 : level;
    return isAlive() && wanted > told && timing.priority(wanted) == Priority.CRITICAL;
  }

  public void judge(Judgement now, Pulse pulse, Teller teller) {
    long credit = judgedLast ? pulse.creditMs() : 0;
    if (state == AlertState.PENDING && !judgedLast && isLongAgo(pulse)) {
      since(now, pulse);
    }
    judgedLast = true;
    if (isOfAnotherCause(now)) {
      end(pulse, teller);
    }
    wanted = now.level();
    if (state == AlertState.NORMAL && now.level() == 0) {
      onDelays.reset();
      return;
    }
    judgedMs = pulse.timeMs();
    clockSure = pulse.clockSure();
    int ready = onDelays.advance(now.level(), credit);
    if (state == AlertState.NORMAL) {
      begin(now, pulse);
    }
    boolean isGone = recurrence.isAway() || state == AlertState.RETURNED;
    if (isGone) {
      account.mayBeBack(now, pulse.timeMs());
    }
    account.take(isGone && ready == 0 ? now.unheeded() : now, credit, pulse.timeMs());
    recur(now, ready, pulse);
    switch (state) {
      case PENDING -> whilePending(ready, pulse, teller);
      case ACTIVE, ACKNOWLEDGED -> whileActive(now, ready, pulse, teller);
      case CLEARING -> whileClearing(now, ready, credit, pulse, teller);
      case RETURNED -> raise(ready, pulse, teller);
      case NORMAL -> throw new IllegalStateException(key + " judged while normal");
    }
  }

  /** The rule cannot judge now: everything stands still. */
  public void missing() {
    judgedLast = false;
  }

  private boolean isLongAgo(Pulse pulse) {
    long onDelayMs = timing.levels().get(0).onDelayMs();
    return pulse.timeMs() - judgedMs > Math.max(LONGEST_UNJUDGED_MS, onDelayMs);
  }

  private boolean isOfAnotherCause(Judgement now) {
    return timing.same() == Same.WORDS
        && now.level() > 0
        && !account.says(now.words().get().what());
  }

  /** Ends it for good: what comes next is another occurrence, however soon. */
  public void end(Pulse pulse, Teller teller) {
    if (stands()) {
      finish(pulse, teller);
    }
    state = AlertState.NORMAL;
    onDelays.reset();
    recurrence.begin();
  }

  private void begin(Judgement now, Pulse pulse) {
    if (!recurrence.isSame(pulse)) {
      occurrence.begin(pulse.session());
      recurrence.begin();
    }
    level = 0;
    seenBy = Optional.empty();
    since(now, pulse);
    enter(AlertState.PENDING, pulse);
  }

  private void since(Judgement now, Pulse pulse) {
    sinceMs = pulse.timeMs() - now.heldMs();
    account.begin(now.heldMs());
  }

  /** Follows how it comes and goes; a moment that is too short to be told does not count. */
  private void recur(Judgement now, int ready, Pulse pulse) {
    boolean isOpen = stands() && state != AlertState.RETURNED;
    if (!isOpen || recurrence.isAway()) {
      recurrence.look(now.level() > 0, pulse.timeMs() - now.heldMs());
    }
    if (isOpen && recurrence.isAway() && ready > 0) {
      sinceMs = recurrence.again(pulse.timeMs());
      account.again(pulse.timeMs() - sinceMs);
    }
    boolean isHeld = isOpen && !recurrence.isAway() && !now.inside();
    boolean isMilder = state == AlertState.RETURNED && ready > 0 && !isCritical(ready);
    if (isHeld || (isMilder && recurrence.isSame(pulse))) {
      recurrence.held(pulse);
    }
  }

  private void whilePending(int ready, Pulse pulse, Teller teller) {
    if (wanted == 0) {
      enter(AlertState.NORMAL, pulse);
    } else {
      raise(ready, pulse, teller);
    }
  }

  private void raise(int ready, Pulse pulse, Teller teller) {
    if (ready == 0) {
      return;
    }
    boolean wasOver = state == AlertState.RETURNED;
    Priority priority = timing.priority(ready);
    boolean isMilder = wasOver && priority != Priority.CRITICAL;
    if (isMilder || (priority != Priority.CRITICAL && !teller.hasRoom())) {
      return;
    }
    if (wasOver) {
      recurrence.beginUnlessSame(pulse);
      sinceMs = recurrence.again(pulse.timeMs());
      account.again(pulse.timeMs() - sinceMs);
    } else {
      recurrence.again(sinceMs);
    }
    enter(AlertState.ACTIVE, pulse);
    recurrence.held(pulse);
    tellLevel(ready, pulse, teller);
  }

  private void whileActive(Judgement now, int ready, Pulse pulse, Teller teller) {
    if (ready > level) {
      escalate(ready, pulse, teller);
    } else if (now.inside()) {
      enter(AlertState.CLEARING, pulse);
      offDelay.reset();
      offDelay.hold(0);
      overWhenLongEnough(now, pulse, teller);
    }
  }

  private void escalate(int ready, Pulse pulse, Teller teller) {
    seenBy = Optional.empty();
    enter(AlertState.ACTIVE, pulse);
    tellLevel(ready, pulse, teller);
  }

  /** A level as bad was told before in this occurrence: then its repeats go on as they were. */
  private void tellLevel(int ready, Pulse pulse, Teller teller) {
    level = ready;
    boolean isWorse = recurrence.isWorse(level);
    Change change =
        !isWorse ? Change.REPEATED : recurrence.isUntold() ? Change.RAISED : Change.ESCALATED;
    if (isWorse) {
      repeats.begin(priority(), repeatMs(), pulse.ageMs());
    } else {
      repeats.told(priority(), repeatMs(), pulse.ageMs());
    }
    recurrence.told(level);
    tell(change, pulse, teller);
  }

  private void whileClearing(Judgement now, int ready, long credit, Pulse pulse, Teller teller) {
    boolean isStillAway = recurrence.isAway() && now.level() == 0;
    if (now.inside() || isStillAway) {
      offDelay.hold(credit);
      overWhenLongEnough(now, pulse, teller);
    } else if (!recurrence.isAway()) {
      enter(seenBy.isPresent() ? AlertState.ACKNOWLEDGED : AlertState.ACTIVE, pulse);
      whileActive(now, ready, pulse, teller);
    }
  }

  private void overWhenLongEnough(Judgement now, Pulse pulse, Teller teller) {
    long delay = Math.max(timing.offDelayMs(), now.leastOffMs());
    if (!offDelay.isOver(delay, 1)) {
      return;
    }
    if (recurrence.comesAndGoes() && !offDelay.isOver(Recurrence.APART_MS, 1)) {
      recurrence.gone();
      return;
    }
    if (isCritical() && seenBy.isEmpty()) {
      enter(AlertState.RETURNED, pulse);
      tell(Change.RETURNED, pulse, teller);
    } else {
      finish(pulse, teller);
    }
  }

  /**
   * Ends the alert whatever its state; for alerts that nothing judges any more, too. What is about
   * to begin again is not delayed by it.
   */
  public void finish(Pulse pulse, Teller teller) {
    // What had returned was over then, and not when somebody saw it.
    long overMs = state == AlertState.RETURNED ? stateMs : pulse.timeMs();
    enter(AlertState.NORMAL, pulse);
    stateMs = overMs;
    tell(Change.CLEARED, pulse, teller);
  }

  /** Somebody saw it. Does nothing unless people were told and nobody had seen it. */
  public void acknowledge(String by, Pulse pulse, Teller teller) {
    if (!stands() || seenBy.isPresent()) {
      return;
    }
    seenBy = Optional.of(name(by));
    if (state == AlertState.ACTIVE) {
      enter(AlertState.ACKNOWLEDGED, pulse);
    }
    tell(Change.ACKNOWLEDGED, pulse, teller);
    if (state == AlertState.RETURNED) {
      finish(pulse, teller);
    }
  }

  /** Tells it again when it is due. */
  public void repeat(Pulse pulse, Teller teller) {
    boolean open = state == AlertState.ACTIVE || state == AlertState.CLEARING;
    if (!open || seenBy.isPresent() || !repeats.isDue(pulse.ageMs())) {
      return;
    }
    boolean isGone = recurrence.isAway() || (state == AlertState.CLEARING && judgedLast);
    boolean isPast = wanted == 0 && judgedLast;
    if (isGone || (!isCritical() && (isPast || !teller.hasRoom()))) {
      return;
    }
    repeats.told(priority(), repeatMs(), pulse.ageMs());
    tell(Change.REPEATED, pulse, teller);
  }

  /** The wall clock was set: times of the same instants have other names now. */
  public void shift(long deltaMs) {
    sinceMs += deltaMs;
    stateMs += deltaMs;
    judgedMs += deltaMs;
    recurrence.shift(deltaMs);
    account.shift(deltaMs);
  }

  /**
   * Takes over an alert of an earlier run as it was last told. Where a snapshot knows the same
   * alert, its delays go on; what was told since then counts.
   */
  public void adopt(Alert alert, Pulse pulse) {
    boolean isKnown = stands() && alert.id().equals(occurrence.id());
    level = timing.levelOf(alert.priority());
    if (!isKnown) {
      occurrence.adopt(alert.id());
      repeats.begin(alert.priority(), repeatMs(), pulse.ageMs());
      account.adopt(alert);
      long toldAgeMs = pulse.ageMs() + alert.timeMs() - pulse.timeMs();
      recurrence.adopt(level, alert.sinceMs(), toldAgeMs, pulse.swing());
      judgedMs = alert.timeMs();
      clockSure = alert.clockSure();
    }
    if (!isKnown || state != AlertState.CLEARING || alert.state() == AlertState.RETURNED) {
      state = alert.state();
    }
    seenBy = alert.acknowledgedBy();
    sinceMs = alert.sinceMs();
    stateMs = alert.timeMs();
    judgedLast = false;
  }

  /** Forgets an alert that the log says is over. */
  public void forget() {
    state = AlertState.NORMAL;
    onDelays.reset();
  }

  /** The alert as it stands at a moment, of the time when it was last confirmed. */
  public Alert alert(Pulse pulse) {
    return alertAt(isOver() ? stateMs : judgedMs, pulse);
  }

  private Alert alertAt(long timeMs, Pulse pulse) {
    return new Alert(
        occurrence.id(),
        key,
        state,
        priority(),
        sinceMs,
        timeMs,
        account.value(),
        account.limit(),
        unit,
        text(pulse),
        isOver() || recurrence.isAway() ? "" : account.firstStep(),
        isOver() ? account.pastEvidence(stateMs) : account.evidence(),
        seenBy,
        clockSure);
  }

  private boolean isOver() {
    return state == AlertState.NORMAL || state == AlertState.RETURNED;
  }

  private String text(Pulse pulse) {
    String text =
        isOver()
            ? account.over(sinceMs, stateMs, unit, pulse)
            : judgedLast
                ? account.standing(sinceMs, unit, pulse)
                : account.unconfirmed(sinceMs, judgedMs, unit, pulse);
    return text + recurrence.words(!isOver(), pulse);
  }

  private void tell(Change change, Pulse pulse, Teller teller) {
    teller.tell(
        new AlertEvent(
            occurrence.event(change, pulse.session()), change, alertAt(pulse.timeMs(), pulse)));
  }

  private Priority priority() {
    return timing.priority(Math.max(1, level == 0 ? wanted : level));
  }

  /** Notes are told once. */
  private long repeatMs() {
    return priority() == Priority.NOTE ? 0 : timing.repeatMs();
  }

  private boolean isCritical() {
    return priority() == Priority.CRITICAL;
  }

  private boolean isCritical(int ofLevel) {
    return timing.priority(ofLevel) == Priority.CRITICAL;
  }

  private void enter(AlertState next, Pulse pulse) {
    if (state != next) {
      state = next;
      stateMs = pulse.timeMs();
    }
  }

  private static String name(String by) {
    String plain = PlainText.spaced(by).strip();
    return plain.length() > MOST_NAME ? plain.substring(0, MOST_NAME) : plain;
  }

  public void state(State io) {
    state = io.constant(state);
    level = io.number(level);
    wanted = io.number(wanted);
    sinceMs = io.number(sinceMs);
    stateMs = io.number(stateMs);
    judgedMs = io.number(judgedMs);
    judgedLast = io.flag(judgedLast);
    clockSure = io.flag(clockSure);
    seenBy = io.optional(seenBy, "", (now, part) -> part.text(now));
    account.state(io);
    onDelays.state(io);
    offDelay.state(io);
    repeats.state(io);
    recurrence.state(io);
    occurrence.state(io);
  }
}
