package org.cellherd.board;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.cellherd.Tools;

/** Two serial ports joined by a cable, made by socat. Closing it pulls the cable. */
public final class PtyPair implements AutoCloseable {
  private final Process socat;
  public final Path near;
  public final Path far;

  public PtyPair(Path near, Path far) throws IOException, InterruptedException {
    this.near = near;
    this.far = far;
    socat =
        new ProcessBuilder(
                Tools.require("socat").toString(),
                "pty,raw,echo=0,link=" + near,
                "pty,raw,echo=0,link=" + far)
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .start();
    for (int i = 0; i < 500 && !(Files.exists(near) && Files.exists(far)); i++) {
      if (socat.waitFor(10, TimeUnit.MILLISECONDS)) {
        throw new IOException("socat ended with " + socat.exitValue());
      }
    }
  }

  @Override
  public void close() throws IOException {
    socat.destroy();
    try {
      socat.waitFor(5, TimeUnit.SECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    Files.deleteIfExists(near);
    Files.deleteIfExists(far);
  }
}
