package org.cellherd.app.verb;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.zip.Deflater;
import java.util.zip.GZIPOutputStream;
import picocli.AutoComplete;

/**
 * Writes the manual page and the completion for the shell from the verbs themselves; the build runs
 * it for the package.
 */
public final class HelpFiles {

  /** Place and value of RFC 1952 that say how hard the packer tried; Debian looks there. */
  private static final int EXTRA_FLAGS = 8;

  private static final byte SLOWEST = 2;

  private HelpFiles() {}

  /**
   * Writes {@code cellherd.1.gz} and {@code cellherd.bash} into a folder, and the named text files
   * beside them, each in gzip as Debian wants it.
   */
  public static void main(String[] args) throws IOException {
    Path folder = Files.createDirectories(Path.of(args[0]));
    gzip(folder.resolve("cellherd.1.gz"), ManualPage.of(RootCommand.commandLine()));
    for (int i = 1; i < args.length; i++) {
      Path source = Path.of(args[i]);
      gzip(folder.resolve(source.getFileName() + ".gz"), Files.readString(source));
    }
    Files.writeString(
        folder.resolve("cellherd.bash"),
        undated(AutoComplete.bash("cellherd", RootCommand.commandLine())),
        StandardCharsets.UTF_8);
  }

  /** As by {@code gzip -9n}: two builds give the same bytes. */
  private static void gzip(Path file, String text) throws IOException {
    ByteArrayOutputStream packed = new ByteArrayOutputStream();
    try (OutputStream out = new BestGzip(packed)) {
      out.write(text.getBytes(StandardCharsets.UTF_8));
    }
    byte[] bytes = packed.toByteArray();
    bytes[EXTRA_FLAGS] = SLOWEST;
    Files.write(file, bytes);
  }

  private static final class BestGzip extends GZIPOutputStream {
    BestGzip(OutputStream out) throws IOException {
      super(out);
      def.setLevel(Deflater.BEST_COMPRESSION);
    }
  }

  /** The generator notes when it ran: two builds would differ. It is read, never run. */
  private static String undated(String script) {
    return script.replaceAll("(?m)^(# Date:|#!/).*\\R", "");
  }
}
