package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import org.cellherd.ComputerTime;
import org.cellherd.Tools;
import org.cellherd.pack.Gap;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SerialLinkTest {
  private final ComputerTime time = new ComputerTime();

  @TempDir private Path folder;

  private PtyPair pair() throws IOException, InterruptedException {
    return new PtyPair(folder.resolve("near"), folder.resolve("far"));
  }

  @Test
  void bytesOfEveryValuePassBothWays() throws Exception {
    try (PtyPair pair = pair();
        Link near = new SerialLink(pair.near.toString(), time);
        Link far = new SerialLink(pair.far.toString(), time)) {
      near.open(LineSettings.DEFAULT);
      far.open(LineSettings.DEFAULT);
      byte[] all = new byte[256];
      for (int i = 0; i < all.length; i++) {
        all[i] = (byte) i;
      }

      near.write(all);
      byte[] there = readFully(far, all.length);
      far.write(all);

      assertThat(there).isEqualTo(all);
      assertThat(readFully(near, all.length)).isEqualTo(all);
    }
  }

  private static byte[] readFully(Link link, int wanted) throws LinkException {
    byte[] all = new byte[wanted];
    byte[] piece = new byte[wanted];
    int got = 0;
    for (int i = 0; i < 50 && got < wanted; i++) {
      int n = link.read(piece, 100);
      System.arraycopy(piece, 0, all, got, n);
      got += n;
    }
    return all;
  }

  @Test
  void theWaitForBytesEndsWithoutThem() throws Exception {
    try (PtyPair pair = pair();
        Link near = new SerialLink(pair.near.toString(), time)) {
      near.open(LineSettings.DEFAULT);
      long before = System.nanoTime();

      int n = near.read(new byte[16], 30);

      assertThat(n).isZero();
      assertThat(System.nanoTime() - before).isBetween(29_000_000L, 2_000_000_000L);
    }
  }

  @Test
  void aMissingPortIsToldAsMissing() {
    Link link = new SerialLink(folder.resolve("nowhere").toString(), time);

    assertThatThrownBy(() -> link.open(LineSettings.DEFAULT))
        .isInstanceOfSatisfying(
            LinkException.class, e -> assertThat(e.kind()).isEqualTo(Gap.Cause.PORT_MISSING))
        .hasMessageContaining("nowhere: not there (unplugged?)");
  }

  /** A pseudo-terminal has no parity bit, and refuses to be asked for one again. */
  @Test
  void settingsThatTheAdapterCannotAreNamed() throws Exception {
    LineSettings even = new LineSettings(9600, 8, LineSettings.Parity.EVEN, 1);
    try (PtyPair pair = pair()) {
      try (Link first = new SerialLink(pair.near.toString(), time)) {
        first.open(even);
      }
      Link again = new SerialLink(pair.near.toString(), time);

      assertThatThrownBy(() -> again.open(even))
          .isInstanceOfSatisfying(
              LinkException.class, e -> assertThat(e.kind()).isEqualTo(Gap.Cause.PORT_REFUSED))
          .hasMessageContaining("the adapter refuses 9600 baud with parity even");
    }
  }

  @Test
  void aPortOpenedTwiceInThisProgramIsRefused() throws Exception {
    try (PtyPair pair = pair();
        Link first = new SerialLink(pair.near.toString(), time);
        Link second = new SerialLink(pair.near.toString(), time)) {
      first.open(LineSettings.DEFAULT);

      assertThatThrownBy(() -> second.open(LineSettings.DEFAULT))
          .isInstanceOfSatisfying(
              LinkException.class, e -> assertThat(e.kind()).isEqualTo(Gap.Cause.PORT_REFUSED))
          .hasMessageContaining("held by this program");
    }
  }

  @Test
  void aPortLockedByAnotherProgramIsRefusedAndTheProgramNamed() throws Exception {
    try (PtyPair pair = pair();
        Link link = new SerialLink(pair.near.toString(), time)) {
      Process other =
          new ProcessBuilder(
                  Tools.require("flock").toString(),
                  pair.near.toString(),
                  "sh",
                  "-c",
                  "echo locked; exec sleep 30")
              .start();
      try {
        assertThat(other.inputReader().readLine()).isEqualTo("locked");
        assertThatThrownBy(() -> link.open(LineSettings.DEFAULT))
            .isInstanceOfSatisfying(
                LinkException.class, e -> assertThat(e.kind()).isEqualTo(Gap.Cause.PORT_REFUSED))
            .hasMessageMatching(".*held by (flock|sleep) \\(process [0-9]+\\).*");
      } finally {
        other.descendants().forEach(ProcessHandle::destroy);
        other.destroy();
        other.waitFor();
      }
    }
  }

  @Test
  void aProgramThatLocksNothingIsFoundAndNamed() throws Exception {
    try (PtyPair pair = pair();
        Link link = new SerialLink(pair.near.toString(), time)) {
      Process other = new ProcessBuilder("sleep", "30").redirectInput(pair.near.toFile()).start();
      try {
        assertThatThrownBy(() -> link.open(LineSettings.DEFAULT))
            .isInstanceOfSatisfying(
                LinkException.class, e -> assertThat(e.kind()).isEqualTo(Gap.Cause.PORT_REFUSED))
            .hasMessageContaining("held by sleep (process " + other.pid() + ")");
      } finally {
        other.destroy();
        other.waitFor();
      }
    }
  }

  @Test
  void aPulledCableIsToldOnceAndThePortClosed() throws Exception {
    try (Link near = new SerialLink(folder.resolve("near").toString(), time)) {
      try (PtyPair pair = pair()) {
        near.open(LineSettings.DEFAULT);
        assertThat(pair.near).exists();
      }

      assertThatThrownBy(
              () -> {
                near.read(new byte[16], 200);
                near.write(new byte[] {1, 2, 3});
              })
          .isInstanceOfSatisfying(
              LinkException.class, e -> assertThat(e.kind()).isEqualTo(Gap.Cause.PORT_MISSING));
      assertThat(near.isOpen()).isFalse();
    }
  }

  @Test
  void readingsGoOnWhenTheCableIsPutBack() throws Exception {
    HeardListener heard = new HeardListener();
    LinePoller poller =
        new LinePoller(
            new SerialLink(folder.resolve("near").toString(), time),
            List.of(TinyDialogue.board("house", 1, Duration.ofMillis(50))),
            LineClock.of(time),
            heard);
    Thread thread = new Thread(poller, "poller");
    try {
      try (PtyPair pair = pair();
          Served board = new Served(new SerialLink(pair.far.toString(), time), new TinyWire(1))) {
        assertThat(board.isServing()).isTrue();
        thread.start();
        assertThat(heard.await(() -> heard.readings().size() >= 3)).isTrue();
      }
      assertThat(heard.await(() -> heard.gaps().size() >= 1)).isTrue();
      assertThat(heard.gaps().get(0).cause()).isEqualTo(Gap.Cause.PORT_MISSING);
      int before = heard.readings().size();
      try (PtyPair pair = pair();
          Served board = new Served(new SerialLink(pair.far.toString(), time), new TinyWire(1))) {
        assertThat(board.isServing()).isTrue();
        assertThat(heard.await(() -> heard.readings().size() >= before + 3)).isTrue();
      }
    } finally {
      poller.stop();
      long asked = System.nanoTime();
      thread.join(5000);
      assertThat(System.nanoTime() - asked).isLessThan(400_000_000L);
    }
  }
}
