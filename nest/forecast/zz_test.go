package forecast
import ("testing";"fmt";"time";"context";"strapwise/hide/chance";"strapwise/nest/trial")
func TestZZ(t *testing.T){
 w:=NewWorld(chance.BuiltIn(),nil)
 job:=trial.Sets(trial.Bend(1,0),1); order:=job.Orders[0]
 for _,k:=range []Kind{{Form:"side",Grade:"B"},{Form:"bend",Grade:"A"},{Form:"bend",Grade:"C"},{Form:"hide",Grade:"C"},{Form:"shoulder",Grade:"B"},{Form:"butt",Grade:"F"}} {
  k.Leather=order.Parts[0].Leather
  t0:=time.Now()
  y,err:=w.Sets(context.Background(),k,order,job,50,1)
  if err!=nil{t.Fatal(err)}
  fmt.Println(k.Form,k.Grade,y.Sets.Mean(),y.Sets.Deviation(),y.Sets.AtLeast(.95),y.Sets.AtLeast(.5),y.Sets.AtLeast(.05),"bound",y.Bound,"area",y.Area/92903,"net",y.Net,time.Since(t0))
 }
}
