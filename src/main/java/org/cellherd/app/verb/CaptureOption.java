package org.cellherd.app.verb;

import java.io.BufferedWriter;
import java.io.IOException;
import java.nio.file.Path;
import java.util.function.Function;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.config.LineConfig;
import org.cellherd.board.CaptureWriter;
import org.cellherd.board.CapturingLink;
import org.cellherd.board.Link;
import org.cellherd.pack.TimeSource;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code --capture FILE}: the raw bytes of a run. */
final class CaptureOption {

  @Option(
      names = "--capture",
      paramLabel = "FILE",
      description = "Append every byte of all lines to this file, for replay.")
  private @Nullable Path file;

  /** Writes what passes over the links around which it is put, each under its name. */
  static final class Recorder implements AutoCloseable {
    private final @Nullable BufferedWriter out;
    private final TimeSource time;

    Recorder(@Nullable BufferedWriter out, TimeSource time) {
      this.out = out;
      this.time = time;
    }

    Function<LineConfig, Link> around(Function<LineConfig, Link> links) {
      BufferedWriter to = out;
      return to == null
          ? links
          : line ->
              new CapturingLink(
                  links.apply(line), new CaptureWriter(to, line.link(), time::wallMs));
    }

    @Override
    public void close() {
      try {
        if (out != null) {
          out.close();
        }
      } catch (IOException full) {
        throw new Stop(ExitCode.STORE, "capture: " + full.getMessage());
      }
    }
  }

  /** A recorder; one that does nothing when no file was named. */
  Recorder recorder(TimeSource time) {
    if (file == null) {
      return new Recorder(null, time);
    }
    return new Recorder(new CaptureFile(file).append(), time);
  }
}
