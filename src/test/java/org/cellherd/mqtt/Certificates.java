package org.cellherd.mqtt;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.cellherd.Tools;

/** An authority and servers' certificates, made by openssl in a folder. */
public final class Certificates {

  private final Path openssl = Tools.require("openssl");
  private final Path folder;

  /** Makes the authority "ca" in a folder. */
  public Certificates(Path folder) throws Exception {
    this.folder = folder;
    authority("ca");
  }

  /** Another authority, which signed nothing. */
  public Path authority(String name) throws Exception {
    run("req", "-x509", "-nodes", "-days", "30", "-subj", "/CN=Test authority " + name)
        .key(name)
        .out(name + ".pem");
    return folder.resolve(name + ".pem");
  }

  /** A server's certificate for a name such as {@code IP:127.0.0.1}, signed by "ca". */
  public void server(String name, String subjectName, int days) throws Exception {
    run("req", "-nodes", "-subj", "/CN=broker", "-addext", "subjectAltName=" + subjectName)
        .key(name)
        .out(name + ".csr");
    run(
            Stream.of("x509", "-req", "-CA", "ca.pem", "-CAkey", "ca.key", "-CAcreateserial"),
            "-in",
            name + ".csr",
            "-days",
            Integer.toString(days),
            "-copy_extensions",
            "copy")
        .out(name + ".pem");
  }

  Path ca() {
    return folder.resolve("ca.pem");
  }

  private Command run(String... words) {
    return new Command(List.of(words));
  }

  private Command run(Stream<String> first, String... words) {
    return new Command(Stream.concat(first, Stream.of(words)).toList());
  }

  private final class Command {
    private final List<String> words = new ArrayList<>();

    Command(List<String> given) {
      words.add(openssl.toString());
      words.addAll(given);
    }

    Command key(String name) {
      words.addAll(List.of("-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-keyout"));
      words.add(name + ".key");
      return this;
    }

    void out(String file) throws IOException, InterruptedException {
      words.addAll(List.of("-out", file));
      Process process =
          new ProcessBuilder(words).directory(folder.toFile()).redirectErrorStream(true).start();
      String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      if (process.waitFor() != 0) {
        throw new IllegalStateException(words + " said " + said);
      }
    }
  }
}
