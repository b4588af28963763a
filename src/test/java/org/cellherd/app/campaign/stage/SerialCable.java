package org.cellherd.app.campaign.stage;

import java.io.FileInputStream;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.cellherd.Tools;
import org.cellherd.board.FarSide;
import org.jspecify.annotations.Nullable;

/**
 * A serial cable of two pseudo-terminals between a wire and the program. It is out while the wire
 * says so, and may come back under another number.
 */
public final class SerialCable implements AutoCloseable {

  private final FarSide wire;
  private final Path folder;
  private @Nullable Process socat;
  private int count;
  private volatile boolean isClosed;

  /** Puts the wire on a cable; the program's end appears in the folder as "port". */
  public SerialCable(FarSide wire, Path folder) throws IOException {
    this.wire = wire;
    this.folder = folder;
    plug();
    Threads.start("cable", this::watchPlug);
  }

  /** The program's end. */
  public Path port() {
    return folder.resolve("port");
  }

  /** Comes back at once under another number, as adapters do. */
  public synchronized void renumber() throws IOException {
    Process old = socat;
    plug();
    if (old != null) {
      old.destroy();
    }
  }

  private void watchPlug() {
    while (!isClosed) {
      try {
        follow();
      } catch (IOException unexpected) {
        throw new IllegalStateException("cable", unexpected);
      }
      Threads.pause(50);
    }
  }

  private synchronized void follow() throws IOException {
    if (isClosed) {
      return;
    }
    if (!wire.isPlugged() && socat != null) {
      pull();
    } else if (wire.isPlugged() && (socat == null || !socat.isAlive())) {
      plug();
    }
  }

  private void pull() throws IOException {
    Process running = socat;
    if (running != null) {
      running.destroy();
      running.onExit().join();
      socat = null;
    }
    Files.deleteIfExists(port());
  }

  private void plug() throws IOException {
    Path near = folder.resolve("near" + count);
    Path far = folder.resolve("far" + count);
    count++;
    // An end that nobody holds must not end the cable.
    String raw = "pty,raw,echo=0,ignoreeof,link=";
    Process process =
        new ProcessBuilder(List.of(Tools.require("socat").toString(), raw + near, raw + far))
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .start();
    while (!(Files.exists(near) && Files.exists(far)) && process.isAlive()) {
      Threads.pause(5);
    }
    Files.deleteIfExists(port());
    Files.createSymbolicLink(port(), near.toRealPath());
    socat = process;
    Threads.start("board-serial", () -> talk(far));
  }

  private void talk(Path far) {
    byte[] buffer = new byte[512];
    try (FileInputStream in = new FileInputStream(far.toFile());
        FileOutputStream out = new FileOutputStream(far.toFile())) {
      Threads.start("board-noise", () -> hum(out));
      for (int n = in.read(buffer); n > 0; n = in.read(buffer)) {
        byte[] answer;
        long late;
        synchronized (wire) {
          answer = wire.exchange(Arrays.copyOf(buffer, n));
          late = wire.delayNanos();
        }
        Threads.pause(TimeUnit.NANOSECONDS.toMillis(late));
        out.write(answer);
      }
    } catch (IOException pulled) {
      // As wanted.
    }
  }

  private void hum(OutputStream out) {
    try {
      while (!isClosed) {
        byte[] noise = wire.announced();
        if (noise.length > 0) {
          out.write(noise);
        }
        Threads.pause(20);
      }
    } catch (IOException pulled) {
      // As wanted.
    }
  }

  @Override
  public synchronized void close() throws IOException {
    isClosed = true;
    pull();
  }
}
