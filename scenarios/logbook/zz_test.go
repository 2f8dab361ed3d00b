package logbook
import ("testing";"os";"fmt")
func TestZZ(t *testing.T){ src,_:=os.ReadFile("/tmp/t.csv"); l,err:=Read("x",src,Options{}); fmt.Println(err); for _,p:=range l.Problems{fmt.Println(p)}; fmt.Println(l.Warnings,l.Notes); for _,r:=range l.Rows{fmt.Println(r.Line,r.Time,r.Place)}}
