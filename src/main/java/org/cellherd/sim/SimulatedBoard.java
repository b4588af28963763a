package org.cellherd.sim;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import org.cellherd.board.FarSide;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.spec.Specs;

/**
 * The boards of a scenario on one line: bytes in, bytes out, with all that the line does to them.
 * The rig moves on to the given clock's time whenever somebody asks. Belongs to one thread.
 */
public final class SimulatedBoard implements FarSide {

  private static final long NANOS_PER_MS = 1_000_000;

  /** How often a board talks that nobody can ask, where the scenario does not say, ms. */
  private static final int USUAL_TALK_MS = 1000;

  private final SimulatedRig rig;
  private final LongSupplier nowMs;
  private final LineFaults faults;
  private final List<OnLine> boards = new ArrayList<>();
  private long delayNanos;

  /**
   * The boards of a scenario.
   *
   * @param decoders finds the description that a scenario names
   * @param nowMs simulated time, ms UTC
   * @throws IllegalArgumentException when a description is not known, or cannot encode
   */
  public SimulatedBoard(
      Scenario scenario,
      SimulatedRig rig,
      Function<String, Optional<Decoder>> decoders,
      LongSupplier nowMs) {
    this.rig = rig;
    this.nowMs = nowMs;
    this.faults = new LineFaults(scenario.faults(), new Chance(scenario.seed()));
    List<PackSection> sections = scenario.sections();
    for (int i = 0; i < sections.size(); i++) {
      PackModel model = rig.packs().get(i);
      Decoder decoder = decoder(model, decoders);
      boards.add(
          new OnLine(
              i,
              responder(model, decoder),
              sections.get(i),
              talkMs(sections.get(i), model, decoder)));
    }
  }

  /** The boards of a scenario by the descriptions that come with the program, at its beginning. */
  public static SimulatedBoard of(Scenario scenario, LongSupplier nowMs) {
    return new SimulatedBoard(scenario, scenario.rig(), Specs::find, nowMs);
  }

  private static Decoder decoder(PackModel model, Function<String, Optional<Decoder>> decoders) {
    return decoders
        .apply(model.decoder())
        .orElseThrow(() -> new IllegalArgumentException(who(model) + "is not known"));
  }

  private static Responder responder(PackModel model, Decoder decoder) {
    return decoder
        .responder(model.address())
        .orElseThrow(() -> new IllegalArgumentException(who(model) + "cannot play a board"));
  }

  private static String who(PackModel model) {
    return "pack '" + model.plan().id() + "': decoder '" + model.decoder() + "' ";
  }

  private static int talkMs(PackSection section, PackModel model, Decoder decoder) {
    boolean isNeverAsked = decoder.dialogue(model.address()).isListenOnly();
    return section.announceMs() == 0 && isNeverAsked ? USUAL_TALK_MS : section.announceMs();
  }

  @Override
  public byte[] exchange(byte[] sent) {
    long now = moveOn();
    delayNanos = 0;
    if (!faults.isHeard(now)) {
      return new byte[0];
    }
    ByteArrayOutputStream answered = new ByteArrayOutputStream();
    for (OnLine board : boards) {
      if (rig.isAwake(board.index)) {
        byte[] answer = board.responder.feed(sent, board);
        answered.writeBytes(answer);
        delayNanos += answer.length > 0 ? board.section.answerMs() * NANOS_PER_MS : 0;
      }
    }
    LineFaults.Delivery delivery = faults.deliver(sent, answered.toByteArray(), now);
    delayNanos += delivery.lateMs() * NANOS_PER_MS;
    return delivery.bytes();
  }

  @Override
  public byte[] announced() {
    long now = moveOn();
    if (!faults.isHeard(now)) {
      return new byte[0];
    }
    ByteArrayOutputStream said = new ByteArrayOutputStream();
    for (OnLine board : boards) {
      if (rig.isAwake(board.index) && board.isTimeToTalk(now)) {
        said.writeBytes(board.responder.announce(board.get()));
      }
    }
    return said.size() == 0
        ? new byte[0]
        : faults.deliver(new byte[0], said.toByteArray(), now).bytes();
  }

  @Override
  public long delayNanos() {
    return delayNanos;
  }

  @Override
  public boolean isPlugged() {
    return faults.isPlugged(nowMs.getAsLong());
  }

  private long moveOn() {
    long now = nowMs.getAsLong();
    rig.stepTo(now);
    return now;
  }

  /** The rig behind the boards. */
  public SimulatedRig rig() {
    return rig;
  }

  /** One board; its reading stays the same until the board makes a new one. */
  private final class OnLine implements Supplier<Reading> {
    final int index;
    final Responder responder;
    final PackSection section;
    private final int talkMs;
    private Optional<Reading> last = Optional.empty();
    private long nextTalkMs;

    OnLine(int index, Responder responder, PackSection section, int talkMs) {
      this.index = index;
      this.responder = responder;
      this.section = section;
      this.talkMs = talkMs;
    }

    @Override
    public Reading get() {
      long now = rig.nowMs();
      Reading reading =
          last.filter(r -> now - r.timeMs() < section.updateMs())
              .orElseGet(() -> rig.measured(index));
      last = Optional.of(reading);
      return reading;
    }

    boolean isTimeToTalk(long now) {
      if (talkMs == 0 || now < nextTalkMs) {
        return false;
      }
      nextTalkMs = now + talkMs;
      return true;
    }
  }
}
