package org.cellherd.app.campaign.stage;

import java.io.ByteArrayOutputStream;
import java.util.Arrays;
import java.util.function.LongSupplier;
import java.util.function.UnaryOperator;
import java.util.stream.IntStream;
import org.cellherd.board.FarSide;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.sim.PackModel;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedRig;
import org.jspecify.annotations.Nullable;

/**
 * The board of the first pack of a scenario, which measures anew at each first question of a poll
 * and writes down what it measured. Thread-safe.
 */
public final class CampaignBoard implements FarSide {

  private final SimulatedRig rig;
  private final PackModel model;
  private final Responder responder;
  private final byte[] opening;
  private final byte[] latest;
  private final LongSupplier rigMs;
  private final LongSupplier trueMs;
  private final BoardRecord record;
  private UnaryOperator<Reading> lie = UnaryOperator.identity();
  private @Nullable Reading current;

  /** A board that numbers its readings from here. */
  public CampaignBoard(
      Scenario scenario, LongSupplier rigMs, LongSupplier trueMs, int firstNumber) {
    this.rig = scenario.rig();
    this.model = rig.packs().get(0);
    this.rigMs = rigMs;
    this.trueMs = trueMs;
    this.record = new BoardRecord(firstNumber);
    Decoder decoder = Specs.find(model.decoder()).orElseThrow();
    this.responder = decoder.responder(model.address()).orElseThrow();
    Dialogue poll = decoder.dialogue(model.address());
    poll.begin();
    this.opening = poll.nextRequest().orElseThrow().bytes();
    this.latest = new byte[opening.length];
  }

  /** True of bytes with a question by which a poll begins. */
  boolean opens(byte[] sent) {
    return IntStream.rangeClosed(0, sent.length - opening.length)
        .anyMatch(i -> Arrays.equals(sent, i, i + opening.length, opening, 0, opening.length));
  }

  /** A line may hand over several questions at once, or the rest of one: each is looked at. */
  @Override
  public synchronized byte[] exchange(byte[] sent) {
    rig.stepTo(rigMs.getAsLong());
    ByteArrayOutputStream answers = new ByteArrayOutputStream();
    for (byte each : sent) {
      System.arraycopy(latest, 1, latest, 0, latest.length - 1);
      latest[latest.length - 1] = each;
      if (Arrays.equals(latest, opening)) {
        current = null;
      }
      answers.writeBytes(responder.feed(new byte[] {each}, this::measured));
    }
    return answers.toByteArray();
  }

  private Reading measured() {
    Reading known = current;
    if (known == null) {
      known = record.add(trueMs.getAsLong(), lie.apply(rig.measured()));
      current = known;
    }
    return known;
  }

  /** What its sensors make of the truth, until told otherwise. */
  public synchronized void lie(UnaryOperator<Reading> next) {
    lie = next;
  }

  /** What it measured. */
  public BoardRecord record() {
    return record;
  }

  /** Its pack, as the builder wrote it into the config. */
  public PackPlan plan() {
    return model.plan();
  }

  /** The description that it answers by. */
  public String spec() {
    return model.decoder();
  }
}
