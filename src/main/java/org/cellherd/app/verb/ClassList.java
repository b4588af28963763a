package org.cellherd.app.verb;

import java.io.IOException;
import java.util.jar.JarFile;
import java.util.regex.Pattern;
import java.util.zip.ZipEntry;

/**
 * Prints the classes of the program's own jar that its verbs share, a line each as {@code
 * -XX:SharedClassListFile} reads them; the package's installation makes an archive of them, from
 * which every start is quicker.
 */
public final class ClassList {

  /** What few verbs use would only make the archive larger: PDF, the simulator. */
  private static final Pattern RARE =
      Pattern.compile("META-INF/.*|org/apache/.*|org/cellherd/sim/.*");

  private static final String ENDING = ".class";

  private ClassList() {}

  /** Needs the jar alone on the class path. */
  public static void main(String[] args) throws IOException {
    try (JarFile jar = new JarFile(System.getProperty("java.class.path"))) {
      jar.stream()
          .map(ZipEntry::getName)
          .filter(name -> name.endsWith(ENDING) && !RARE.matcher(name).matches())
          .forEach(name -> System.out.println(name.substring(0, name.length() - ENDING.length())));
    }
  }
}
