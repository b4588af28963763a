package org.cellherd.board;

import java.util.Random;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.spec.Specs;

/** Random bytes where a device of Modbus TCP should answer, through the link that a daemon uses. */
public final class ModbusTcpNoise implements FarSide {
  private static final int LONGEST = 64;

  private final Random random;
  private final Dialogue dialogue = Specs.find("teasel-16").map(d -> d.dialogue(1)).orElseThrow();
  private final byte[] buffer = new byte[512];
  private final Link link;
  private long fed;
  private long taken;
  private long refused;

  /** Feeds so many bytes. */
  public ModbusTcpNoise(long bytes, long seed) throws LinkException {
    random = new Random(seed);
    SimulatedTime time = new SimulatedTime(0);
    link = new ModbusTcpLink(new LoopbackLink("modbus-tcp:noise:502", this, time), time);
    while (fed < bytes) {
      ask();
    }
  }

  @Override
  public byte[] exchange(byte[] sent) {
    byte[] noise = new byte[1 + random.nextInt(LONGEST)];
    random.nextBytes(noise);
    fed += noise.length;
    return noise;
  }

  private void ask() throws LinkException {
    if (!link.isOpen()) {
      link.open(LineSettings.DEFAULT);
    }
    link.discardInput();
    dialogue.begin();
    link.write(dialogue.nextRequest().orElseThrow().bytes());
    try {
      for (int n = link.read(buffer, 1000); n > 0; n = link.read(buffer, 1000)) {
        taken += dialogue.feed(buffer, 0, n) == Dialogue.Progress.ANSWERED ? 1 : 0;
      }
    } catch (LinkException e) {
      refused++;
    }
  }

  /** Bytes that came. */
  public long fed() {
    return fed;
  }

  /** Answers that the board's description took. */
  public long taken() {
    return taken;
  }

  /** Times that the link was given up for what came. */
  public long refused() {
    return refused;
  }
}
